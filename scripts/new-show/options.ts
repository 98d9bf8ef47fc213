import { type AirTold, airOf } from "../record/air";
import { readOptions } from "../setup/options.mjs";
import { SetupError } from "../setup/setup-error.mjs";
import { type Form, type FormPosition, questions } from "./venue-form";

export interface NewShowCall {
  readonly folder: string;
  readonly name?: string;
  readonly write: boolean;
  readonly form: Partial<Form>;
  readonly positions?: readonly FormPosition[];
  readonly air: AirTold;
  readonly port?: number;
}

const FOOT = 0.3048; // metres

/** What `npm run new-show` takes; nothing where only help was wanted. */
export function readNewShowOptions(args: readonly string[]): NewShowCall | undefined {
  const asked = Object.fromEntries(
    questions.map(({ key, says, usual }) => [key, { value: "NUMBER", says: `${says} (default ${usual})` }]),
  );
  const read = readOptions(args, {
    call: "npm run new-show",
    words: [
      {
        name: "FOLDER",
        needed: true,
        says: "a folder with recordings (WAV); a venue.json in it is the drawing",
      },
    ],
    options: {
      name: { value: "TEXT", says: "the show's name (default: the folder's)" },
      write: { says: "writes show.json as proposed, without a page" },
      units: {
        value: "UNITS",
        says: "m or ft, of the lengths below (default m)",
        one: ["m", "ft"],
        usual: "m",
      },
      ...asked,
      positions: {
        value: "LIST",
        says: 'where microphones stood: name=distance from the stage, with commas, such as "row A=3,row F=9.5";\nfor a place beside the centre name=distance/metres to house left',
      },
      temperature: { value: "NUMBER", says: "°C of the air while the takes were recorded" },
      humidity: { value: "NUMBER", says: "relative humidity then, percent" },
      port: {
        value: "NUMBER",
        says: "port of the page (default 8892 or the next free one)",
        whole: [1024, 65_535],
      },
    },
    more: "The numbers draw a venue where there is no venue.json. Files that you have edited by hand are never written over.",
  });
  if (!read) return undefined;
  const { values, words } = read;
  const fail = (sentence: string): never => {
    throw new SetupError(`${sentence} See npm run new-show -- --help.`);
  };
  const scale = values.units === "ft" ? FOOT : 1;
  const camel = (key: string) => key.replace(/-./g, ([, letter]) => letter.toUpperCase());
  const form: { [key: string]: number } = {};
  for (const { key, least, most, length } of questions) {
    const text = values[camel(key)];
    if (text === undefined) continue;
    const number = Number(text) * (length ? scale : 1);
    if (!text.trim() || !(number >= least && number <= most) || (!length && !Number.isInteger(number)))
      fail(
        `--${key} is ${JSON.stringify(text)}, expected a number from ${(least / (length ? scale : 1)).toFixed(1)} to ${(most / (length ? scale : 1)).toFixed(1)}.`,
      );
    form[key] = number;
  }
  const positions = values.positions === undefined ? undefined : positionsIn(values.positions, scale, fail);
  const air = airIn(values, fail);
  const { name, write, port } = values;
  return { folder: words[0], name, write, form: form as Partial<Form>, positions, air, port };
}

function airIn(
  values: { readonly temperature?: string; readonly humidity?: string },
  fail: (sentence: string) => never,
): AirTold {
  const number = (text: string | undefined) =>
    text === undefined ? undefined : text.trim() ? Number(text) : NaN;
  try {
    return airOf({ temperature: number(values.temperature), humidity: number(values.humidity) });
  } catch (error) {
    return fail(`--${(error as Error).message}.`);
  }
}

function positionsIn(text: string, scale: number, fail: (sentence: string) => never): FormPosition[] {
  const found = text.split(",").map((part) => {
    const [, id, x, y] = /^\s*(\S[^=]{0,79}?)\s*=\s*(-?[\d.]+)\s*(?:\/\s*(-?[\d.]+)\s*)?$/.exec(part) ?? [];
    if (!id || !(Math.abs(Number(x)) <= 300) || !(Math.abs(Number(y ?? 0)) <= 300))
      fail(`--positions has ${JSON.stringify(part)}, expected a name, = and a distance.`);
    return { id, x: Number(x) * scale, y: Number(y ?? 0) * scale };
  });
  if (new Set(found.map(({ id }) => id)).size < found.length) fail("--positions has a name twice.");
  return found;
}
