/** Two versions of a table: the same where their numbers agree to what another processor's rounding may change. */

const relative = 1e-6;
const absolute = 1e-12;

/**
 * @param name  of the file; .json is compared by value, anything else by byte
 * @returns where they differ, in words; nothing where they agree
 */
export function differences(name: string, kept: Buffer, made: Buffer): string[] {
  if (!name.endsWith(".json")) return kept.equals(made) ? [] : ["its bytes differ"];
  return [...compare("", JSON.parse(kept.toString()), JSON.parse(made.toString()))];
}

function* compare(at: string, kept: unknown, made: unknown): Generator<string> {
  if (typeof kept === "number" && typeof made === "number") {
    const far = Math.abs(kept - made) > absolute + relative * Math.max(Math.abs(kept), Math.abs(made));
    if (far) yield `${at} was ${kept}, is now ${made}`;
  } else if (kept && made && typeof kept === "object" && typeof made === "object") {
    const [a, b] = [kept as { [key: string]: unknown }, made as { [key: string]: unknown }];
    for (const key of new Set([...Object.keys(a), ...Object.keys(b)]))
      yield* compare(`${at}/${key}`, a[key], b[key]);
  } else if (kept !== made) yield `${at} was ${JSON.stringify(kept)}, is now ${JSON.stringify(made)}`;
}
