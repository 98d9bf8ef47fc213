/** How a function is called, and types, as an entry shows them. */
import type { Entry } from "./declarations";

/** Longest signature, or type, on one line. */
const longest = 64;

export function signatureOf({ name, kind, parameters, type }: Entry): string {
  const returned = shortened(type);
  if (kind === "value") return `${name}: ${returned}`;
  const written = parameters.map((one) => {
    const rest = one.type.startsWith("...") ? "..." : "";
    // Its fields stand in a table of their own.
    const of =
      one.fields.length && !/^\w+$/.test(one.type) ? "{ … }" : shortened(one.type.slice(rest.length));
    return `${rest}${one.name}${one.optional ? "?" : ""}: ${of}`;
  });
  const line = `${name}(${written.join(", ")}): ${returned}`;
  if (line.length <= longest && !line.includes("\n")) return line;
  const lines = written.map((one) => `  ${one.replaceAll("\n", "\n  ")},\n`).join("");
  return `${name}(${lines && `\n${lines}`}): ${returned}`;
}

/** As short as it reads: without `readonly`, on one line where it fits, else indented by two blanks. */
export function shortened(type: string): string {
  const plain = type.replaceAll(/\breadonly /g, "");
  const line = plain.replaceAll(/;?\s*\n\s*\}/g, " }").replaceAll(/\s+/g, " ");
  if (line.length <= longest && !line.includes("/*")) return line;
  return plain.replaceAll(/^( {4})+/gm, (blanks) => " ".repeat(blanks.length / 2));
}
