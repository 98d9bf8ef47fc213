/** The JSON Schema that editors read: in step with the library, and checked by a validator that is not ours. */
import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import Ajv2020 from "ajv/dist/2020";
import { describe, expect, test } from "vitest";
import { venueJsonSchema } from "../../../lib/venue/file/json-schema";
import { LENGTH_KEYS } from "../../../lib/venue/file/units";

const data = join(__dirname, "../../../data");
const committed = JSON.parse(readFileSync(join(data, "venue.schema.json"), "utf8"));
const ajv = new Ajv2020({ allErrors: true, allowUnionTypes: true });
ajv.addKeyword("unit");
const validate = ajv.compile(committed);
const venues = readdirSync(join(data, "venues")).filter((name) => name.endsWith(".json"));
const read = (name: string) => JSON.parse(readFileSync(join(data, "venues", name), "utf8"));

describe("data/venue.schema.json", () => {
  test("is what the library's schema says (else run scripts/schema.ts)", () => {
    expect(committed).toEqual(JSON.parse(JSON.stringify(venueJsonSchema())));
  });

  test("holds for every venue of the course, which points to it", () => {
    for (const name of venues) {
      const venue = read(name);
      expect(venue.$schema, name).toBe("../venue.schema.json");
      expect(validate(venue), `${name}: ${ajv.errorsText(validate.errors)}`).toBe(true);
    }
  });

  test("refuses an unknown key, a missing one, and a value out of its range", () => {
    const change = (edit: (venue: ReturnType<typeof read>) => void) => {
      const venue = read("harbour-theatre.json");
      edit(venue);
      return validate(venue);
    };
    expect(change(() => {})).toBe(true);
    expect(change((v) => Object.assign(v.subs[0], { gian: 1 }))).toBe(false);
    expect(change((v) => delete v.audience[0].earHeight)).toBe(false);
    expect(change((v) => Object.assign(v.subs[0].position, { z: -1 }))).toBe(false);
    expect(change((v) => Object.assign(v.mains[0].filters[0], { order: 3 }))).toBe(false);
    expect(change((v) => Object.assign(v.cabinets.sub, { level: {} }))).toBe(false);
  });

  test("describes every entry that an editor may offer", () => {
    const bare: string[] = [];
    walk(committed, "", (node, path) => {
      const properties = node.properties as Record<string, Record<string, unknown>> | undefined;
      for (const [key, entry] of Object.entries(properties ?? {})) {
        const described = entry.description ?? entry.$ref ?? entry.const ?? entry.enum;
        if (!described) bare.push(`${path}.${key}`);
      }
    });
    expect(bare).toEqual([]);
  });

  test("marks as lengths exactly the numbers that feet turn into metres", () => {
    const power: Record<string, number> = { length: 1, area: 2, volume: 3 };
    const marked: Record<string, number> = {};
    const unmarked = new Set<string>();
    walk(committed, "", (node) => {
      const properties = node.properties as Record<string, Record<string, unknown>> | undefined;
      for (const [key, entry] of Object.entries(properties ?? {})) {
        if (typeof entry.unit === "string") marked[key] = power[entry.unit];
        else if (entry.type === "number" || entry.type === "integer") unmarked.add(key);
      }
    });
    expect(marked).toEqual(LENGTH_KEYS);
    expect(Object.keys(LENGTH_KEYS).filter((key) => unmarked.has(key))).toEqual([]);
  });
});

function walk(
  node: unknown,
  path: string,
  visit: (node: Record<string, unknown>, path: string) => void,
): void {
  if (Array.isArray(node)) {
    for (const [i, entry] of node.entries()) walk(entry, `${path}[${i}]`, visit);
  } else if (node !== null && typeof node === "object") {
    visit(node as Record<string, unknown>, path);
    for (const [key, entry] of Object.entries(node)) walk(entry, `${path}.${key}`, visit);
  }
}
