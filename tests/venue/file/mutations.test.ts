/** Venue files broken at random: each is either still a venue, sound throughout, or refused with reasons. Never a crash. */
import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import Ajv2020 from "ajv/dist/2020";
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { VenueFileError } from "../../../lib/venue/file/problems";
import { readVenue } from "../../../lib/venue/file/read";
import { seats } from "../../../lib/venue/seats";
import type { Venue } from "../../../lib/venue/venue";
import { change, mutate } from "./mutate";

const RUNS = Number(process.env.EVENGROUND_CASES ?? 3000);
const data = join(__dirname, "../../../data");
const files = readdirSync(join(data, "venues"))
  .filter((name) => name.endsWith(".json"))
  .map((name) => readFileSync(join(data, "venues", name), "utf8"));
const ajv = new Ajv2020({ allowUnionTypes: true });
ajv.addKeyword("unit");
const validate = ajv.compile(JSON.parse(readFileSync(join(data, "venue.schema.json"), "utf8")));

function read(text: string): Venue | VenueFileError {
  try {
    return readVenue(text, "broken.json");
  } catch (error) {
    if (error instanceof VenueFileError) return error;
    throw error;
  }
}

/** Every number in the venue is a number, every axis a direction, every curve ascending. */
function expectSound(venue: Venue): void {
  expect(unsound(venue)).toEqual([]);
}

function unsound(venue: Venue): string[] {
  const faults: string[] = [];
  const hold = (condition: boolean, what: string) => condition || faults.push(what);
  const numbers = (node: unknown, path: string): void => {
    if (typeof node === "number") hold(Number.isFinite(node), path);
    else if (node !== null && typeof node === "object") {
      for (const [key, entry] of Object.entries(node)) numbers(entry, `${path}.${key}`);
    }
  };
  numbers(venue, "venue");
  hold(new Set(venue.sources.map((s) => s.id)).size === venue.sources.length, "ids");
  for (const { id, axis, up, level } of venue.sources) {
    hold(Math.abs(Math.hypot(axis.x, axis.y, axis.z) - 1) < 1e-9, `${id} axis`);
    hold(Math.abs(axis.x * up.x + axis.y * up.y + axis.z * up.z) < 1e-9, `${id} up`);
    hold(level.frequency.length > 0, `${id} level`);
    hold(
      level.frequency.every((f, i) => f > (i ? level.frequency[i - 1] : 0)),
      `${id} frequencies`,
    );
  }
  for (const { name, absorption } of venue.boundaries) {
    hold(
      absorption.value.every((value) => value >= 0 && value <= 1),
      `${name} absorption`,
    );
  }
  for (const time of venue.room?.reverberationTime.value ?? []) hold(time > 0, "reverberation time");
  hold(seats(venue, { count: 20 }).length > 0, "seats");
  return faults;
}

describe("a venue file broken at random", () => {
  test("is still a sound venue, or is refused with a path and an expectation for every problem", () => {
    let read_ = 0;
    let refused = 0;
    fc.assert(
      fc.property(fc.nat(), fc.array(change, { minLength: 1, maxLength: 4 }), (which, changes) => {
        const broken = mutate(JSON.parse(files[which % files.length]), changes);
        const result = read(JSON.stringify(broken));
        if (result instanceof VenueFileError) {
          refused++;
          expect(result.problems.length).toBeGreaterThan(0);
          for (const { path, text } of result.problems) {
            expect(text).toMatch(/expected|not a known key/);
            expect(`${path}${text}`).not.toMatch(/undefined|NaN|\[object|Invalid input/);
          }
          expect(result.message.split("\n").length).toBeLessThanOrEqual(22);
        } else {
          read_++;
          expectSound(result);
        }
      }),
      { numRuns: RUNS },
    );
    // both outcomes are met, or the test would tell nothing
    expect(Math.min(read_, refused)).toBeGreaterThan(RUNS / 50);
  });

  test("is accepted only where the written-out schema accepts it too", () => {
    fc.assert(
      fc.property(fc.nat(), change, (which, one) => {
        const broken = mutate(JSON.parse(files[which % files.length]), [one]);
        const text = JSON.stringify(broken);
        if (!(read(text) instanceof VenueFileError)) {
          expect(validate(JSON.parse(text)), ajv.errorsText(validate.errors)).toBe(true);
        }
      }),
      { numRuns: Math.ceil(RUNS / 2) },
    );
  });

  test("is refused where the text itself is cut or torn", () => {
    fc.assert(
      fc.property(
        fc.nat(),
        fc.nat(),
        fc.nat({ max: 40 }),
        fc.string({ maxLength: 5 }),
        (which, where, cut, put) => {
          const text = files[which % files.length];
          const at = where % text.length;
          const result = read(text.slice(0, at) + put + text.slice(at + cut));
          if (!(result instanceof VenueFileError)) expectSound(result);
        },
      ),
      { numRuns: Math.ceil(RUNS / 3) },
    );
  });

  test("whatever text it is, it is a venue or a VenueFileError", () => {
    fc.assert(
      fc.property(fc.oneof(fc.string(), fc.json(), fc.string({ unit: "binary" })), (text) => {
        expect(read(text)).toBeInstanceOf(VenueFileError);
      }),
      { numRuns: Math.ceil(RUNS / 3) },
    );
  });
});
