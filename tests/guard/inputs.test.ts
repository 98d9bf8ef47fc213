/**
 * What a cell may give to the library by mistake. Each function either answers with numbers, or
 * says in a sentence which argument it can't take: no crash in the language's own words, no NaN, nothing endless.
 */
import { mkdtempSync } from "node:fs";
import { tmpdir } from "node:os";
import path from "node:path";
import vm from "node:vm";
import fc from "fast-check";
import { beforeAll, describe, expect, it } from "vitest";
import type * as Library from "../../lib";
import { ensureLibrary } from "../../scripts/setup/library.mjs";
import { goodCalls } from "./calls";

const RUNS = Math.ceil(Number(process.env.EVENGROUND_CASES ?? 4000) / 2);
/** The counts asserted below are of this draw. */
const SEED = 20261125;
const root = path.join(__dirname, "..", "..");

const wrong = [undefined, null, Number.NaN, Infinity, -Infinity, -1, 0, 0.5, 1e300, "", "text", [], {}, true];

/** Take so long that only the arguments as a whole are exchanged. */
const long = [
  "studies.run",
  "write.reports",
  "measure.show",
  "predict.recordings",
  "course.exercise",
  "course.capstone",
  "course.grade",
  "studies.result",
  "decide.calibrate",
];
const languageSays =
  /Cannot (read|set|destructure|convert|use)|is not (a function|iterable|a constructor)|Invalid (array|typed)|Maximum call|Reduce of empty|must be of type|object Object/;

type Place = readonly (string | number)[];
let library: object;
let good: { readonly [name: string]: unknown[] };
let names: string[];

beforeAll(async () => {
  await ensureLibrary();
  // Reports go where a cell says, and here that may be anywhere.
  process.chdir(mkdtempSync(path.join(tmpdir(), "cells ")));
  // As a notebook has it: built, and with the guard at its face.
  library = require(path.join(root, "dist"));
  names = functionsOf(library);
  const calls = goodCalls(library as unknown as typeof Library);
  good = Object.fromEntries(names.filter((name) => calls[name]).map((name) => [name, calls[name]()]));
}, 120_000);

describe("every function of the library", () => {
  it("has a call in good order to start from", async () => {
    expect(names.length).toBeGreaterThan(80);
    expect(Object.keys(good).length).toBeGreaterThan(80);
    for (const name of Object.keys(good).filter((one) => !long.includes(one) && one !== "show"))
      expect(await fault(name, good[name], []), name).toBeUndefined();
  }, 120_000);

  it("says in a sentence that it can't take what is wrong from the first argument to the last", async () => {
    for (const name of names)
      for (const one of wrong)
        expect(await fault(name, [one, one, one], []), `${name} with ${String(one)}`).toBeUndefined();
  }, 300_000);

  it("answers in numbers or names what it can't take, whatever stands in place of one or two of its arguments", async () => {
    const tally = { answered: 0, refused: 0, named: 0 };
    const positions = Object.fromEntries(Object.keys(good).map((name) => [name, placesIn(name)]));
    const change = fc.record({
      at: fc.nat(),
      value: fc.oneof(
        fc.constantFrom(...wrong),
        fc.double(),
        fc.integer(),
        fc.constant(() => undefined),
      ),
    });
    const call = fc.record({
      name: fc.constantFrom(...Object.keys(positions).filter((name) => positions[name].length > 0)),
      changes: fc.array(change, { minLength: 1, maxLength: 2 }),
    });
    await fc.assert(
      fc.asyncProperty(call, async ({ name, changes }) => {
        const at = changes.map((one) => positions[name][one.at % positions[name].length]);
        const args = at.reduce(
          (done, position, i) => exchanged(done, position, changes[i].value) as unknown[],
          good[name],
        );
        expect(await fault(name, args, at, tally), `${name} with ${told(at, changes)}`).toBeUndefined();
      }),
      { numRuns: RUNS, seed: SEED },
    );
    expect(tally.refused).toBeGreaterThan(RUNS / 3);
    expect(tally.answered).toBeGreaterThan(RUNS / 20);
    // The rest speak of "line length" where the code says `length`, or of two arguments that do not fit together.
    expect(tally.named / tally.refused).toBeGreaterThan(0.9);
  }, 900_000);
});

describe("a refusal", () => {
  it.each([
    [
      "decide.balance",
      [undefined],
      /^decide\.balance\(\): survey is undefined, expected an object with .*; run the cell that makes it/,
    ],
    [
      "acoustics.distance.pointLoss",
      [Number.NaN, 2],
      "acoustics.distance.pointLoss(): near is NaN, expected a number",
    ],
    [
      "acoustics.distance.lossPerMetre",
      [3, "wall"],
      'acoustics.distance.lossPerMetre(): law is "wall", expected "line" or "point"',
    ],
    ["draw.seats", [{}, [], []], /^draw\.seats\(\): venue\.\w+ is undefined, expected/],
    [
      "panel",
      ["sub level", { survey: 3 }],
      /^panel\(\): data\.\w+ is (3|undefined), expected an object with/,
    ],
    [
      "acoustics.filters.response",
      [{ type: "lowpass", kind: "butterworth", order: 4 }, [80]],
      /filter\.frequency is undefined/,
    ],
  ])("of %s names the place, what was found and what was expected", (name, args, message) => {
    expect(() => called(name)(...(args as unknown[]))).toThrow(message as string);
  });
});

/**
 * What is wrong with what a call comes to; nothing where it is an answer in numbers or a good refusal.
 *
 * @param at  what was exchanged in its arguments
 */
async function fault(
  name: string,
  args: unknown[],
  at: readonly Place[],
  tally?: { answered: number; refused: number; named: number },
) {
  (globalThis as { cell?: () => unknown }).cell = () => called(name)(...args);
  try {
    const answer = await vm.runInThisContext("globalThis.cell()", { timeout: 60_000 });
    if (tally) tally.answered++;
    return name === "dataFrame" ? undefined : noNumber(answer);
  } catch (error) {
    if (tally) tally.refused++;
    if (!(error instanceof Error)) return `throws ${error}`;
    const { message } = error;
    if (languageSays.test(message)) return message;
    if (message.length > 2000 || message.trim().split(/\s+/).length < 4) return `is no sentence: ${message}`;
    const plain = (text: string) => text.toLowerCase().replace(/[^a-z]/g, "");
    const keys = at.flat().filter((key): key is string => typeof key === "string");
    if (tally && [...keys, name].some((word) => plain(message).includes(plain(word)))) tally.named++;
    return undefined;
  }
}

/** A number that is none, or a text that shows one. −∞ dB is the level of nothing at all, and is drawn as a gap. */
function noNumber(value: unknown, seen = new Set<unknown>()): string | undefined {
  if (typeof value === "number")
    return Number.isFinite(value) || value === -Infinity ? undefined : `${value}`;
  if (typeof value === "string")
    return /\b(NaN|undefined)\b|\[object/.exec(value.length < 5000 ? value : "")?.[0];
  if (value === null || typeof value !== "object" || seen.has(value)) return undefined;
  seen.add(value);
  const parts = ArrayBuffer.isView(value) ? (value as unknown as ArrayLike<unknown>) : Object.values(value);
  for (let i = 0; i < parts.length; i++) {
    const found = noNumber(parts[i], seen);
    if (found !== undefined) return found;
  }
  return undefined;
}

/** Every place in a function's arguments where something else may stand, three steps deep. */
function placesIn(name: string): Place[] {
  const below = (value: unknown, depth: number, at: Place): Place[] => {
    if (depth === 0 || value === null || typeof value !== "object") return [at];
    const list = Array.isArray(value) || ArrayBuffer.isView(value);
    const keys = list ? ((value as unknown as unknown[]).length ? [0] : []) : Object.keys(value);
    const parts = value as { readonly [key: string | number]: unknown };
    return [at, ...keys.flatMap((key) => below(parts[key], depth - 1, [...at, key]))];
  };
  return good[name].flatMap((argument, i) => below(argument, long.includes(name) ? 0 : 3, [i]));
}

function exchanged(value: unknown, [key, ...rest]: Place, other: unknown): unknown {
  if (key === undefined) return other;
  if (value === null || typeof value !== "object") return value;
  const copy = ArrayBuffer.isView(value)
    ? (value as Float64Array).slice()
    : Array.isArray(value)
      ? [...value]
      : { ...value };
  const parts = copy as { [key: string | number]: unknown };
  parts[key] = exchanged(parts[key], rest, other);
  return copy;
}

const told = (at: readonly Place[], changes: readonly { readonly value: unknown }[]): string =>
  at.map((position, i) => `${position.join(".")} = ${String(changes[i].value)}`).join(", ");

/** Functions by their whole name: `decide.offset`. */
const functionsOf = (group: object, before = ""): string[] =>
  Object.entries(group).flatMap(([name, value]) =>
    typeof value === "function"
      ? [before + name]
      : isGroup(value)
        ? functionsOf(value, `${before}${name}.`)
        : [],
  );

const isGroup = (value: unknown): value is object =>
  typeof value === "object" && Object.values(value ?? {}).some((one) => typeof one !== "number");

const called = (name: string) =>
  name.split(".").reduce<unknown>((group, key) => (group as { [key: string]: unknown })[key], library) as (
    ...args: unknown[]
  ) => unknown;
