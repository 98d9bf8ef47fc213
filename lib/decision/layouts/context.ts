/** What all layouts in one venue have in common: who listens where, what the mains do there, and where the stage is. */
import { type Band, thirdOctaves } from "../../acoustics/bands/bands";
import type { Response } from "../../acoustics/response";
import { modelFrequencies } from "../../field/frequencies";
import { responder } from "../../field/model-survey";
import type { FieldOptions } from "../../field/options";
import type { Position } from "../../survey/survey";
import { type Quad, quadAt } from "../../venue/quad";
import { seats } from "../../venue/seats";
import type { Venue } from "../../venue/venue";
import { type AudienceParts, audienceParts, audienceWeights } from "../balance/audience";
import { type BalanceOptions, withDefaults } from "../balance/balance";
import type { Limits } from "../offset/limits";

export interface LayoutContextOptions extends BalanceOptions {
  /** Where people listen. Default about 200 seats of the venue's audience. */
  readonly positions?: readonly Position[];
  /**
   * How the field is computed. Default frequencies: four to the third octave in the low band and in the mid band, one between
   * them; those of `predict.survey` where a limit needs all.
   */
  readonly field?: FieldOptions;
  /** What the subs' level must not exceed. */
  readonly limits?: Limits;
}

export interface LayoutContext {
  readonly frequency: Float64Array;
  readonly positions: readonly Position[];
  readonly weights: Float64Array;
  readonly parts: AudienceParts;
  readonly mains: readonly Response[];
  readonly fills?: readonly Response[];
  /** Places on the stage, at the ears of performers; none where the venue has no stage. */
  readonly stage: readonly Position[];
}

/**
 * Frequencies at which layouts are judged: four to the third octave in the low band and in the mid band, edges included,
 * and one to the third between them.
 *
 * @param options  the bands
 * @returns hertz, ascending
 */
export function layoutFrequencies(options: BalanceOptions = {}): Float64Array {
  const { lowBand, midBand } = withDefaults(options);
  const low = thirdOctavesFrom(lowBand);
  const mid = thirdOctavesFrom(midBand);
  const lowEdges = [low[0].lower, low[low.length - 1].upper] as const;
  const midEdges = [mid[0].lower, mid[mid.length - 1].upper] as const;
  const all = [
    ...steps(...lowEdges, 4 * low.length),
    ...(midEdges[0] > lowEdges[1]
      ? steps(lowEdges[1], midEdges[0], Math.max(1, Math.round(10 * Math.log10(midEdges[0] / lowEdges[1]))))
      : []),
    ...steps(...midEdges, 4 * mid.length),
  ].sort((a, b) => a - b);
  return Float64Array.from(all.filter((f, i) => i === 0 || f > all[i - 1] * (1 + 1e-6)));
}

/** The third-octave bands from one nominal frequency to another, which may be the same. */
export const thirdOctavesFrom = ([from, to]: readonly [number, number]): Band[] =>
  thirdOctaves(from, Math.max(to, from * 1.001));

/**
 * Seats, stage and the mains' field.
 *
 * @param venue  a venue
 * @param options  bands, weights, positions
 * @throws RangeError when nobody is there
 */
export function layoutContext(venue: Venue, options: LayoutContextOptions = {}): LayoutContext {
  const work = groundSteps(venue, options);
  for (;;) {
    const step = work.next();
    if (step.done) return step.value;
  }
}

/** The same in steps: yields the share that is done, 0…1. */
export function* groundSteps(
  venue: Venue,
  options: LayoutContextOptions = {},
): Generator<number, LayoutContext, void> {
  const { positions = seats(venue, { count: 200 }) } = options;
  // A limit on the whole level needs the whole range.
  const { frontLevel, frontDose } = options.limits ?? {};
  const whole = frontLevel !== undefined || frontDose !== undefined;
  const frequency = options.field?.frequency ?? (whole ? modelFrequencies() : layoutFrequencies(options));
  const groups = (["mains", "fills"] as const).filter(
    (group) => group === "mains" || venue.sources.some((s) => s.group === group),
  );
  const found: { mains: Response[]; fills?: Response[] } = { mains: [] };
  const places = positions.map((p) => p.point);
  for (const [k, group] of groups.entries()) {
    const at = responder(venue, group, places, { ...options.field, frequency });
    const list: Response[] = [];
    for (const [i, p] of positions.entries()) {
      list.push(at(p.point));
      if (i % 10 === 9) yield (k + i / positions.length) / groups.length;
    }
    found[group] = list;
  }
  const silent = { name: venue.name, quantity: "pressure" as const, frequency, positions, ...found };
  const weights = audienceWeights({ ...silent, subs: found.mains }, options.weights);
  return {
    frequency,
    positions,
    weights,
    parts: audienceParts(positions, weights),
    ...found,
    stage: stagePositions(venue),
  };
}

/** About 24 places over the stage, at the height of performers' ears. */
export function stagePositions(venue: Venue): Position[] {
  const { stage } = venue;
  if (!stage) return [];
  const across = 6;
  const deep = 4;
  return Array.from({ length: across * deep }, (_, i) => {
    const point = quadAt(
      stage.corners as Quad,
      ((i % across) + 0.5) / across,
      (Math.floor(i / across) + 0.5) / deep,
    );
    return {
      id: `stage ${Math.floor(i / across) + 1}-${(i % across) + 1}`,
      point: { ...point, z: point.z + stage.earHeight },
      area: "stage",
      people: 0,
    };
  });
}

function steps(from: number, to: number, count: number): number[] {
  return Array.from({ length: count + 1 }, (_, i) => from * (to / from) ** (i / count));
}
