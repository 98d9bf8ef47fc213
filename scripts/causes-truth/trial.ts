/** One venue's dips: what experiments on its drawing say of them, and what comes of the same in the venue itself. */

import { logGrid } from "../../lib/acoustics/bands/bands";
import { interpolateLog } from "../../lib/acoustics/bands/curve";
import { power } from "../../lib/acoustics/response";
import { FEW, FILLS } from "../../lib/decision/dips/chances";
import { depthCurve, findDips, responseOf } from "../../lib/decision/dips/dips";
import { elementsOf } from "../../lib/decision/dips/elements";
import { type Evidence, evidenceOf } from "../../lib/decision/dips/evidence";
import {
  experiments,
  experimentsOn,
  type HeardCurves,
  type Outcome,
  voicesOf,
} from "../../lib/decision/dips/experiments";
import type { DipPart } from "../../lib/decision/dips/result";
import { takenAway } from "../../lib/field/taken-away";
import { cubeOf } from "../../lib/field/waves/room";
import { uniform } from "../../lib/numeric/random";
import type { Position, Survey } from "../../lib/survey/survey";
import { seats } from "../../lib/venue/seats";
import type { Venue } from "../../lib/venue/venue";
import { drawnVenue, type Planted } from "./venues";

/** A group of dips. */
export interface DipTrial {
  readonly seed: number;
  readonly hall: boolean;
  readonly planted: Planted;
  readonly part: DipPart;
  readonly behaviour: string;
  readonly frequency_hz: number;
  /** What the experiments on the drawing say. */
  readonly outcome: Outcome;
  /** What each element of the outcome fills in the venue itself, share of the depth. */
  readonly truth: readonly number[];
  /** What does that is not in the drawing; 0 where nothing is. */
  readonly undrawn: number;
  /** Processor time of the experiments on the drawing, seconds. */
  readonly seconds: number;
}

/** Hertz: as far as the venue's own cubes carry what is asked of them. */
const HIGHEST = 160;
const frequency = logGrid(18, HIGHEST, 77);
const RANGE = { subs: [25, 125], mains: [60, 125], sum: [25, 125] } as const;
const MICROPHONES = 6;

/** @param finer  side of the venue's cubes, of the usual ones */
export function dipTrials(seed: number, finer = 1): DipTrial[] {
  const { drawn, real, planted, undrawn } = drawnVenue(seed);
  const positions = microphones(real, seed);
  const places = positions.map((p) => p.point);
  const waves = { waves: true, size: finer * Math.max(seed % 2 === 0 ? 0.42 : 0, cubeOf(real)) };
  const survey = surveyOf(real, positions, waves);
  const { groups } = findDips(survey, { range: RANGE });
  if (groups.length === 0) return [];
  const elements = elementsOf(drawn);
  const thing = { kind: "other surface", name: UNDRAWN, boundaries: undrawn } as const;
  const inTruth = experimentsOn(real, undrawn.length > 0 ? [...elements, thing] : elements, places, {
    ...waves,
    to: HIGHEST,
  });
  const restored = planted === "inverted sub" ? surveyOf(upright(real), positions, waves) : undefined;
  const highest = Math.max(...groups.flatMap((g) => g.dips.map((d) => d.frequency_hz)));
  const begun = process.cpuUsage();
  const outcome = experiments(drawn, places, highest);
  const { user, system } = process.cpuUsage(begun);
  return groups.flatMap(({ part, dips, behaviour, frequency_hz }): DipTrial[] => {
    const heard = curvesOf(survey, part);
    const own = outcome(part, dips, heard);
    const inVenue = inTruth(part, dips, heard);
    if (!own || !inVenue) return [];
    const [{ filled }] = evidenceOf([inVenue]);
    const fraction = (kind: string, name: string) =>
      filled.find((f) => f.kind === kind && f.name === name)?.fraction ?? 0;
    return [
      {
        seed,
        hall: seed % 2 === 0,
        planted,
        part,
        behaviour,
        frequency_hz,
        outcome: own,
        truth: own.elements.map(({ kind, name }) => fraction(kind, name)),
        undrawn: restored ? gone(dips, curvesOf(restored, part)) : fraction("other surface", UNDRAWN),
        seconds: (user + system) / 1e6,
      },
    ];
  });
}

const UNDRAWN = "not drawn";

function microphones(venue: Venue, seed: number): Position[] {
  const random = uniform(seed * 31 + 5);
  return seats(venue, { count: 60 })
    .map((p) => ({ p, at: random() }))
    .sort((a, b) => a.at - b.at)
    .slice(0, MICROPHONES)
    .map(({ p }) => p)
    .sort((a, b) => a.point.x - b.point.x);
}

const upright = (venue: Venue): Venue => ({
  ...venue,
  sources: venue.sources.map((s) => ({ ...s, polarity: 1 as const })),
});

function surveyOf(
  venue: Venue,
  positions: readonly Position[],
  waves: { waves: boolean; size: number },
): Survey {
  const { voices, of } = voicesOf(venue);
  const places = positions.map((p) => p.point);
  const { whole } = takenAway(venue, voices, places, [], { frequency, ...waves });
  const sum = (which: readonly number[]) =>
    places.map((_, row) => ({
      frequency,
      re: frequency.map((_, f) => which.reduce((x, v) => x + whole[v][row].re[f], 0)),
      im: frequency.map((_, f) => which.reduce((x, v) => x + whole[v][row].im[f], 0)),
    }));
  return {
    name: venue.name,
    quantity: "pressure",
    frequency,
    positions,
    mains: sum(of.mains),
    subs: sum(of.subs),
  };
}

const depthOf = depthCurve(frequency);

function curvesOf(survey: Survey, part: DipPart): HeardCurves {
  return (row, at) => {
    const heard = responseOf(survey, part, row);
    if (!heard) throw new RangeError("a part has no response");
    const depth = depthOf(power(heard.response));
    return at.map((f) => interpolateLog(frequency, depth, f));
  };
}

/** Share of dips that is gone where they are no more. */
function gone(
  dips: readonly { readonly row: number; readonly frequency_hz: number; readonly depth_db: number }[],
  curve: HeardCurves,
): number {
  const total = dips.reduce((sum, d) => sum + d.depth_db, 0);
  return dips.reduce((sum, { row, frequency_hz, depth_db }) => {
    const near = frequency.filter((f) => Math.abs(Math.log2(f / frequency_hz)) <= 1 / 8);
    const left = Math.max(0, ...curve(row, near));
    return sum + (depth_db / total) * Math.max(-1, (depth_db - left) / depth_db);
  }, 0);
}

/** Whether in the venue itself no element would fill the dip, or more than a few: the room as a whole. */
export function isWhole({ truth, undrawn }: DipTrial): boolean {
  const filling = truth.filter((t) => t >= FILLS).length;
  return undrawn < FILLS && (filling === 0 || filling > FEW);
}

export interface JudgedTrial extends DipTrial {
  readonly evidence: Evidence;
}

/** Trials with what their venue's outcomes come to. */
export function withEvidence(trials: readonly DipTrial[]): JudgedTrial[] {
  return [...new Set(trials.map((t) => t.seed))].flatMap((seed) => {
    const own = trials.filter((t) => t.seed === seed);
    return evidenceOf(own.map((t) => t.outcome)).map((evidence, i) => ({ ...own[i], evidence }));
  });
}
