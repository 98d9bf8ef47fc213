/** The limits of a search as a person writes them: a JSON file in metres, milliseconds, degrees and decibels. */
import type { LayoutLimits, SubKind, SubPositions } from "../../lib/decision/layouts/limits";
import { orientation } from "../../lib/venue/direction";
import { formerLimitsKeys, withCurrentKeys } from "../../lib/venue/file/former-keys";
import type { Venue } from "../../lib/venue/venue";

/** What may stand in the file, by name, with an example of each. */
export const limitsExample = `{
  "positions": [
    { "name": "floor", "from": { "x": 0.6, "y": -6, "z": 0.3 }, "to": { "x": 0.6, "y": 6, "z": 0.3 }, "spacing": 1.2 },
    { "name": "pit", "corners": [{ "x": 1.4, "y": 4, "z": 0.3 }, { "x": 1.4, "y": -4, "z": 0.3 },
                                 { "x": 2.2, "y": -4, "z": 0.3 }, { "x": 2.2, "y": 4, "z": 0.3 }], "spacing": 0.8 },
    { "name": "truss", "point": { "x": 0.5, "y": 0, "z": 7 }, "flown": true }
  ],
  "kinds": [{ "name": "as drawn" }, { "name": "cardioid", "pattern": { "kind": "first-order", "a": 0.5 } },
            { "name": "toward the stage", "turned": 180 }],
  "count": [2, 6], "mirror": true, "inverted": true,
  "delaysMs": [0, 12], "delayStepMs": 0.5, "gains": [-6, 0], "gainStep": 3, "headroom": 6
}`;

const keys = [
  "positions",
  "kinds",
  "count",
  "mirror",
  "inverted",
  "delaysMs",
  "delayStepMs",
  "gains",
  "gainStep",
  "headroom",
] as const;

type FileKey = (typeof keys)[number];

/**
 * Limits from a file's text. A kind is the venue's first sub with another pattern, or turned by degrees toward house left.
 *
 * @param text  JSON
 * @param name  of the file, for messages
 * @param venue  whose sub the kinds vary
 * @throws RangeError that names the file and the field
 */
export function readLimits(text: string, name: string, venue: Venue): LayoutLimits {
  let file: Partial<Record<FileKey, unknown>>;
  try {
    file = JSON.parse(text);
  } catch (error) {
    throw new RangeError(`limits "${name}" is not JSON: ${(error as Error).message}`);
  }
  const fail = (field: string, expected: string): never => {
    throw new RangeError(
      `limits "${name}": ${field} is not ${expected}. An example of a whole file:\n${limitsExample}`,
    );
  };
  const current = withCurrentKeys(file, name, formerLimitsKeys);
  for (const { path, text: said } of current.problems)
    throw new RangeError(`limits "${name}": ${path} ${said}`);
  for (const remark of current.remarks) console.log(remark);
  file = current.content as typeof file;
  if (typeof file !== "object" || file === null || Array.isArray(file)) fail("the file", "an object");
  const stranger = Object.keys(file).find((key) => !keys.includes(key as FileKey));
  if (stranger) fail(stranger, `one of ${keys.join(", ")}`);
  const number = (field: FileKey) => {
    const value = file[field];
    if (value === undefined) return undefined;
    return typeof value === "number" && Number.isFinite(value) ? value : fail(field, "a number");
  };
  const pair = (field: FileKey): [number, number] | undefined => {
    const value = file[field];
    if (value === undefined) return undefined;
    const good = Array.isArray(value) && value.length === 2 && value.every(Number.isFinite);
    return good ? (value as [number, number]) : fail(field, "two numbers, the lesser first");
  };
  const truth = (field: FileKey) => {
    const value = file[field];
    if (value === undefined) return undefined;
    return typeof value === "boolean" ? value : fail(field, "true or false");
  };
  if (!Array.isArray(file.positions) || file.positions.length === 0)
    fail("positions", "a list of positions where a sub may stand");
  const delays = pair("delaysMs");
  const delayStep = number("delayStepMs");
  return withoutGaps({
    positions: (file.positions as unknown[]).map((position, i) =>
      positionOf(position, `positions[${i}]`, fail),
    ),
    kinds: file.kinds === undefined ? undefined : kindsOf(file.kinds, venue, fail),
    count: pair("count"),
    mirror: truth("mirror"),
    inverted: truth("inverted"),
    delays: delays && ([delays[0] / 1000, delays[1] / 1000] as [number, number]),
    delayStep: delayStep && delayStep / 1000,
    gains: pair("gains"),
    gainStep: number("gainStep"),
    headroom: number("headroom"),
  });
}

type Fail = (field: string, expected: string) => never;

function positionOf(value: unknown, field: string, fail: Fail): SubPositions {
  const position = (typeof value === "object" && value !== null ? value : fail(field, "an object")) as Record<
    string,
    unknown
  >;
  const isPoint = (p: unknown): boolean =>
    typeof p === "object" &&
    p !== null &&
    ["x", "y", "z"].every((k) => Number.isFinite((p as Record<string, unknown>)[k]));
  if (typeof position.name !== "string") fail(`${field}.name`, "a name");
  const { corners } = position;
  const good =
    isPoint(position.point) ||
    (isPoint(position.from) && isPoint(position.to)) ||
    (Array.isArray(corners) && corners.length === 4 && corners.every(isPoint));
  if (!good)
    fail(field, "a place: give point, or from and to, or four corners, each with x, y and z in metres");
  return position as unknown as SubPositions;
}

function kindsOf(value: unknown, venue: Venue, fail: Fail): SubKind[] {
  const sub = venue.sources.find((s) => s.group === "subs");
  if (!sub) return fail("kinds", `possible, since "${venue.name}" has no sub to vary`);
  if (!Array.isArray(value) || value.length === 0) return fail("kinds", "a list of cabinets to choose among");
  return value.map((kind, i) => {
    const {
      name,
      turned = 0,
      pattern = sub.pattern,
    } = kind as { name?: unknown; turned?: unknown; pattern?: SubKind["cabinet"]["pattern"] };
    if (typeof name !== "string") fail(`kinds[${i}].name`, "a name");
    if (typeof turned !== "number" || !Number.isFinite(turned))
      fail(`kinds[${i}].turned`, "a number of degrees");
    if (!["omni", "first-order", "piston"].includes(pattern.kind)) {
      fail(`kinds[${i}].pattern.kind`, "omni, first-order or piston");
    }
    return {
      name: name as string,
      cabinet: { level: sub.level, size: sub.size, pattern },
      ...orientation(turned as number, 0),
    };
  });
}

/** Without the keys that were left out, so that the search's own defaults stand. */
function withoutGaps<T extends object>(value: T): LayoutLimits {
  return Object.fromEntries(
    Object.entries(value).filter(([, v]) => v !== undefined),
  ) as unknown as LayoutLimits;
}
