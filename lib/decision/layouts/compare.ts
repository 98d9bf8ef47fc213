/**
 * Layouts compared: what each way to stand, delay and flip the subs does for the audience, the front row and the stage.
 */
import { levelOfMeanSquare, toDecibel } from "../../acoustics/level/decibel";
import type { Response } from "../../acoustics/response";
import { responder } from "../../field/model-survey";
import { settled } from "../../field/options";
import { prepareWaves } from "../../field/waves/low-band";
import type { Survey } from "../../survey/survey";
import type { Layout } from "../../venue/layouts/layout";
import type { Source, Venue } from "../../venue/venue";
import { type AudienceParts, rowsByDepth } from "../balance/audience";
import { deviationsAt, lowThirdOctaves, withDefaults } from "../balance/balance";
import { bandPowers, span } from "../balance/band-powers";
import { residualPerThirdOctave } from "../balance/residual";
import { meanOver } from "../balance/summary";
import { offsetWithPowers } from "../offset/offset";
import type { OffsetOptions } from "../offset/result";
import { layoutReasons } from "./compare-reasons";
import type { LayoutComparison, LayoutFigures } from "./compare-result";
import { type LayoutContext, type LayoutContextOptions, layoutContext } from "./context";
import { beats, isTie } from "./tie";

export interface CompareLayoutsOptions extends Omit<OffsetOptions, "mixPositions">, LayoutContextOptions {}

/** Layouts by name, as the makers in `layouts` return them. */
export interface NamedLayouts {
  readonly [name: string]: Pick<Layout, "sources"> & Partial<Layout>;
}

/**
 * Compares layouts of the subs in one venue, each at the level offset that suits the audience best: what it does for the
 * audience, the front row and the stage.
 *
 * The venue's own subs are left out: to compare with them, give
 * `{ current: { sources: venue.sources.filter((s) => s.group === "subs") } }`.
 *
 * @param venue  the venue, with its mains
 * @param layouts  by name, as `layouts.line` and the others of its group make them
 * @param options  as for `decide.offset`; `positions` where people listen, `field` how it is computed
 * @returns figures per layout in the order given, dB, and sentences that compare them
 * @throws RangeError when there is no layout, one has no cabinet, or as `decide.offset`
 * @source own way, no outside source; check: tests/decision/layouts/compare.test.ts
 * @example
 * const hall = read.venue("ombrik-cellar");
 * const [cabinet] = hall.sources.filter((s) => s.group === "subs");
 * const row = { cabinet, position: { x: 0.5, y: 0, z: 0.3 }, spacing: 1.2 };
 * const two = { short: layouts.line({ ...row, count: 4 }), long: layouts.line({ ...row, count: 6 }) };
 * decide.compareLayouts(hall, two).layouts.map((layout) => layout.cabinets) // [4, 6]
 */
export function compareLayouts(
  venue: Venue,
  layouts: NamedLayouts,
  options: CompareLayoutsOptions = {},
): LayoutComparison {
  const names = Object.keys(layouts);
  if (names.length === 0) throw new RangeError("layouts is empty, expected one layout or more by name");
  const { lowBand, targetTilt } = withDefaults(options);
  const context = layoutContext(venue, options);
  const { lowBand: by, progress } = settled(venue, "subs", options.field ?? {});
  if (by === "waves") {
    const places = context.positions.map((p) => p.point);
    prepareWaves(
      venue,
      names.map((name) => layouts[name].sources),
      places,
      progress,
    );
  }
  const figures = names.map((name) => figuresOf(venue, context, name, layouts[name], options));
  const withRivals = figures.map((f) => ({
    ...f,
    tiedWith: figures.filter((g) => g !== f && isTie(g.deviation_db, f.deviation_db)).map((g) => g.name),
    beatenBy: figures.filter((g) => beats(aimsOf(g), aimsOf(f))).map((g) => g.name),
  }));
  const result = {
    venue: venue.name,
    lowBand_hz: lowBand,
    targetTilt_db: targetTilt,
    seats: context.positions.length,
    layouts: withRivals,
  };
  const overhead = names.filter((name) => layouts[name].sources.some((s) => s.point.z > OVERHEAD));
  return { ...result, reasons: layoutReasons(result, overhead) };
}

/** Cabinets higher than this hang over someone's head, metres. */
export const OVERHEAD = 2.5;

/** The venue's own subs as a layout. */
export function standingLayout(venue: Venue): Layout {
  return { sources: venue.sources.filter((s) => s.group === "subs"), warnings: [] };
}

function figuresOf(
  venue: Venue,
  context: LayoutContext,
  name: string,
  layout: NamedLayouts[string],
  options: CompareLayoutsOptions,
): LayoutFigures {
  if (layout.sources.length === 0)
    throw new RangeError(`layout "${name}" has no cabinets, expected one or more`);
  const { positions, weights, parts, frequency } = context;
  const sources = layout.sources.map((s): Source => ({ ...s, group: "subs" }));
  const places = positions.map((p) => p.point);
  const respond = responder({ ...venue, sources }, "subs", places, { ...options.field, frequency });
  const survey = surveyWith(context, name, places.map(respond));
  const { result: offset, powers, listeners } = offsetWithPowers(survey, options);
  const deviation = deviationsAt(listeners.forms, offset.offset_db, new Float64Array(weights.length));
  const g = 10 ** (offset.offset_db / 20);
  // The low band is the first of the bands.
  const inLowBand = (of: (at: number) => number) => weights.map((_, i) => of(i * powers.bands.length));
  const subs = inLowBand((at) => powers.subs[at]);
  const sum = inLowBand((at) => powers.mains[at] + g * (2 * powers.cross[at] + g * powers.subs[at]));
  const front = powerMean(sum, weights, parts.front);
  const subsMean = powerMean(subs, weights);
  const loudest = Math.max(...sources.map((s) => s.gain));
  const subsLevel = subs.map((c) => levelOfMeanSquare(Math.max(c, 1e-30)));
  const residual = residualPerThirdOctave(powers, weights, offset.offset_db, options);
  return {
    name,
    cabinets: sources.length,
    offset_db: offset.offset_db,
    limited: offset.limited,
    deviation_db: offset.audience.rms_db,
    audience: offset.audience,
    sideToSide_db: sideToSide(context, deviation),
    thirdOctaveSpread_db: residual.spread_db.reduce((x, y) => x + y, 0) / residual.spread_db.length,
    subsFrontToBack_db: meanOver(parts.front, weights, subsLevel) - meanOver(parts.back, weights, subsLevel),
    subsSideToSide_db: sideToSide(context, subsLevel),
    frontRow_db: toDecibel(front / powerMean(sum, weights)),
    frontRowLevel_db: levelOfMeanSquare(front),
    spill_db: context.stage.length > 0 ? toDecibel(stagePower(context, respond, options) / subsMean) : null,
    level_db: levelOfMeanSquare(subsMean) - loudest,
    loudest_db: offset.offset_db + loudest,
    tiedWith: [],
    beatenBy: [],
    warnings: layout.warnings ?? [],
  };
}

function surveyWith(context: LayoutContext, name: string, subs: readonly Response[]): Survey {
  const { frequency, positions, mains, fills } = context;
  return { name, quantity: "pressure", frequency, positions, mains, subs, ...(fills ? { fills } : {}) };
}

function stagePower(
  context: LayoutContext,
  respond: (position: Survey["positions"][number]["point"]) => Response,
  options: CompareLayoutsOptions,
): number {
  const subs = context.stage.map((p) => respond(p.point));
  const survey: Survey = {
    name: "stage",
    quantity: "pressure",
    frequency: context.frequency,
    positions: context.stage,
    mains: subs,
    subs,
  };
  const { subs: power } = bandPowers(survey, [span(lowThirdOctaves(survey, options))]);
  return power.reduce((sum, c) => sum + c, 0) / power.length;
}

/** What the layouts are ranked by; smaller is better. */
const aimsOf = ({ deviation_db, frontRow_db, spill_db }: LayoutFigures): number[] => [
  deviation_db,
  frontRow_db,
  spill_db ?? 0,
];

function powerMean(
  power: Float64Array,
  weights: Float64Array,
  indices: AudienceParts["front"] = Array.from(power.keys()),
): number {
  return meanOver(indices, weights, power);
}

/** Mean over the rows, by their people, of the largest less the smallest value in a row. */
function sideToSide({ positions, weights }: LayoutContext, values: ArrayLike<number>): number | null {
  const order = positions
    .map((_, i) => i)
    .filter((i) => weights[i] > 0)
    .sort((i, j) => positions[i].point.x - positions[j].point.x);
  let sum = 0;
  let total = 0;
  for (const row of rowsByDepth(positions, order)) {
    if (row.length < 2) continue;
    const inRow = row.map((i) => values[i]);
    const people = row.reduce((s, i) => s + weights[i], 0);
    sum += people * (Math.max(...inRow) - Math.min(...inRow));
    total += people;
  }
  return total > 0 ? sum / total : null;
}
