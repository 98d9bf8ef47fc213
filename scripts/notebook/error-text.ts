import { stripVTControlCharacters } from "node:util";
import { joined, type Output } from "./format";

/** What a failed cell said, without colours. */
export function errorText(outputs: readonly Output[]): string {
  const said = outputs.map(({ output_type: type, ename, evalue, name, text }) => {
    if (type === "error") return `${ename}: ${evalue}`;
    return type === "stream" && name === "stderr" ? joined(text) : "";
  });
  const words = said.filter(Boolean).join("\n");
  return stripVTControlCharacters(words).trim() || "it failed without a message";
}
