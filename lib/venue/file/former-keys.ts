/**
 * Keys that files once had. A file that has one is read as before, with a remark that names the key of today.
 */
import type { Problem } from "./problems";
import { writePath } from "./problems";

/** A key by where it stood: `*` stands for each entry of a list. */
export interface FormerKey {
  readonly at: readonly string[];
  readonly former: string;
  readonly now: string;
}

/** In a venue file. */
export const formerVenueKeys: readonly FormerKey[] = [{ at: [], former: "places", now: "positions" }];
/** In a show file. */
export const formerShowKeys: readonly FormerKey[] = [
  { at: ["takes", "*"], former: "sounding", now: "playing" },
  { at: [], former: "noise", now: "noiseFloor" },
];
/** In the limits of a search for layouts. */
export const formerLimitsKeys: readonly FormerKey[] = [
  { at: [], former: "places", now: "positions" },
  { at: [], former: "invert", now: "inverted" },
];

/** What a file holds once its former keys have today's names. */
export interface CurrentKeys {
  readonly content: unknown;
  /** One sentence for each former key, however often it stands there. */
  readonly remarks: readonly string[];
  /** Former keys beside today's: nobody can tell which one is meant. */
  readonly problems: readonly Problem[];
}

/**
 * A file's content with the keys of today.
 *
 * @param content  the parsed file, left as it is
 * @param fileName  for the remarks
 * @param keys  its former keys
 */
export function withCurrentKeys(content: unknown, fileName: string, keys: readonly FormerKey[]): CurrentKeys {
  const remarks: string[] = [];
  const problems: Problem[] = [];
  let current = content;
  for (const key of keys) {
    let found = false;
    current = changedAt(current, key.at, [], (object, path) => {
      if (!Object.hasOwn(object, key.former)) return object;
      if (Object.hasOwn(object, key.now)) {
        problems.push({
          path: writePath([...path, key.former]),
          text: `is the former name of "${key.now}", which is there too, expected only "${key.now}"`,
        });
        return object;
      }
      found = true;
      // The order of the keys stays, for the messages that follow it.
      return Object.fromEntries(
        Object.entries(object).map(([name, value]) => [name === key.former ? key.now : name, value]),
      );
    });
    if (found) remarks.push(`${fileName}: "${key.former}" is now called "${key.now}" and was read as that`);
  }
  return { content: current, remarks, problems };
}

type Plain = { readonly [key: string]: unknown };

function changedAt(
  value: unknown,
  at: readonly string[],
  path: readonly PropertyKey[],
  change: (object: Plain, path: readonly PropertyKey[]) => Plain,
): unknown {
  const [step, ...rest] = at;
  if (step === "*") {
    if (!Array.isArray(value)) return value;
    return value.map((each, i) => changedAt(each, rest, [...path, i], change));
  }
  if (typeof value !== "object" || value === null || Array.isArray(value)) return value;
  const object = value as Plain;
  if (step === undefined) return change(object, path);
  if (!Object.hasOwn(object, step)) return value;
  return { ...object, [step]: changedAt(object[step], rest, [...path, step], change) };
}
