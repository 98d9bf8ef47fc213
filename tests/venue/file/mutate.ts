/** Parsed JSON broken at random, as a slip of the hand or malice may. */
import fc from "fast-check";
import { evenly } from "../../evenly";

/** What a slip, a misunderstanding or malice may leave in place of a value. */
const junk = fc.oneof(
  fc.constantFrom<unknown>(null, true, "", "x", "1.2", [], {}, 0, -0, -1, 1, 1e9, -1e9, 5e-324, 1e300, 8.5),
  fc.double({ noNaN: true, noDefaultInfinity: true }),
  evenly(-50, 50),
  fc.string({ maxLength: 12 }),
  fc.array(fc.integer(), { maxLength: 5 }),
  fc.dictionary(fc.string({ maxLength: 8 }), fc.integer(), { maxKeys: 3 }),
);
export const change = fc.record({
  where: fc.nat(),
  how: fc.constantFrom("replace", "remove", "rename", "add", "copy", "nudge"),
  value: junk,
  // a key that looks like a slip of the library would be told in the message, rightly
  letters: fc.string({ maxLength: 8 }).filter((text) => !/undefined|NaN|\[object/.test(text)),
});

type Holder = Record<string, unknown> | unknown[];

/** Every place of a value in the file. */
function positions(node: unknown, found: { holder: Holder; key: string | number }[] = []): typeof found {
  if (node === null || typeof node !== "object") return found;
  for (const key of Object.keys(node)) {
    const at = Array.isArray(node) ? Number(key) : key;
    found.push({ holder: node as Holder, key: at });
    positions((node as Record<string, unknown>)[key], found);
  }
  return found;
}

/** A parsed file with some of its values replaced, removed, renamed, added, doubled or nudged. */
export function mutate(
  file: unknown,
  changes: readonly { where: number; how: string; value: unknown; letters: string }[],
): unknown {
  for (const { where, how, value, letters } of changes) {
    const all = positions(file);
    const { holder, key } = all[where % all.length];
    const slot = holder as Record<string | number, unknown>;
    const old = slot[key];
    if (how === "replace") slot[key] = value;
    else if (how === "nudge" && typeof old === "number")
      slot[key] = typeof value === "number" ? old + value : -old;
    else if (how === "add" && !Array.isArray(holder)) slot[letters] = value;
    else if (how === "copy" && Array.isArray(holder)) holder.push(structuredClone(old));
    else if (Array.isArray(holder)) holder.splice(Number(key), 1);
    else {
      delete slot[key];
      if (how === "rename") slot[`${key}${letters}`] = old;
    }
  }
  return file;
}
