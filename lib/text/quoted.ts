/** What somebody gave, as it stands in the sentence that refuses it. */
export function quoted(value: unknown): string {
  if (value === undefined) return "nothing";
  if (typeof value === "number" || typeof value === "bigint") return String(value);
  if (typeof value === "function") return "a function";
  try {
    const text = JSON.stringify(value) ?? "nothing";
    return text.length > LONGEST ? `${text.slice(0, LONGEST)}…` : text;
  } catch {
    // It holds itself, or what JSON has no words for.
    return "something that is no plain value";
  }
}

const LONGEST = 200;
