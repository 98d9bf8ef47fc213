/**
 * The level offset, and offset with polarity and delay, beside the same searches in vectorised numpy with scipy.optimize: 2,000 seats and
 * 80 frequencies from 20 to 2,500 Hz, double precision, one thread each, the same data and the same grids.
 */
import { logGrid } from "../../lib/acoustics/bands/bands";
import type { Response } from "../../lib/acoustics/response";
import { searchTogether } from "../../lib/decision/alignment/joint";
import { deviationForms } from "../../lib/decision/balance/balance";
import { bandWeights, coveredThirdOctaves, span } from "../../lib/decision/balance/band-powers";
import { bestOnCurve, costCurve } from "../../lib/decision/offset/cost-curve";
import { criteria } from "../../lib/decision/offset/criterion";
import type { Survey } from "../../lib/survey/survey";
import { withPeer } from "./peer-process";
import { beside, medians, type Row, timed } from "./rows";

const seats = 2000;
const frequency = logGrid(20, 2500, 80);

/**
 * Times both searches, ours and numpy's in turn, and takes medians.
 *
 * @param python  interpreter with numpy
 * @throws Error when the two do not find the same offsets
 */
export async function bench(python: string): Promise<Row[]> {
  const survey = inventedSurvey();
  const searches = [
    { task: "offset", name: "level offset, three criteria", search: offsets },
    { task: "joint", name: "offset × polarity × delay", search: together },
  ];
  return withPeer(python, "offset_numpy.py", packed(survey), async (peer) => {
    const rows: Row[] = [];
    for (const { task, name, search } of searches) {
      const expected = search(survey);
      const theirs = () => peer(task, (costs) => requireSame(expected, costs, name));
      const [a, b] = await medians([() => timed(() => search(survey)), theirs], 15, 15);
      const words = "numpy, vectorised over seats, and scipy.optimize";
      rows.push(beside(`${name}, 2,000 seats × 80 frequencies`, a, words, b));
    }
    return rows;
  });
}

function requireSame(ours: readonly number[], theirs: readonly number[], name: string): void {
  ours.forEach((cost, k) => {
    if (!(Math.abs(cost - theirs[k]) <= 1e-3))
      throw new Error(`${name}: ours costs ${cost} dB, numpy's ${theirs[k]} dB`);
  });
}

function offsets(survey: Survey): number[] {
  const weights = new Float64Array(seats).fill(1 / seats);
  const forms = deviationForms(survey);
  const curve = costCurve(forms, weights, [-30, 30]);
  return criteria.map((criterion) => bestOnCurve(curve, forms, weights, criterion).cost);
}

function together(survey: Survey): number[] {
  return [searchTogether(survey, { delays: [-0.02, 0.02] })[0].cost_db];
}

/**
 * Two groups of point sources with a rear wall: enough interference for several dips. On both sides all responses lie in
 * one block of memory, as those of a study's model do.
 */
function inventedSurvey(): Survey {
  const block = new Float64Array(4 * seats * frequency.length);
  let used = 0;
  const take = () => {
    used += frequency.length;
    return block.subarray(used - frequency.length, used);
  };
  const positions = Array.from({ length: seats }, (_, i) => ({
    id: `seat ${i}`,
    point: { x: 3 + (i % 50) * 0.7, y: -12 + Math.floor(i / 50) * 0.6, z: 1.2 },
    area: "stalls",
    people: 1,
  }));
  const group = (y: number, z: number, level: number) =>
    positions.map(({ point }): Response => {
      const re = take();
      const im = take();
      for (const source of [
        { x: 0, y, z, a: level },
        { x: 0, y: -y, z, a: level },
        { x: 90, y, z, a: 0.6 * level },
      ]) {
        const r = Math.hypot(point.x - source.x, point.y - source.y, point.z - source.z);
        frequency.forEach((f, k) => {
          re[k] += (source.a / r) * Math.cos((2 * Math.PI * f * r) / 343);
          im[k] -= (source.a / r) * Math.sin((2 * Math.PI * f * r) / 343);
        });
      }
      return { frequency, re, im };
    });
  return {
    name: "benchmark",
    quantity: "ratio",
    frequency,
    positions,
    mains: group(8, 9, 10),
    subs: group(4, 0, 12),
  };
}

/** Rows for the other side: frequencies, weights of the two bands, then mains and subs, real and imaginary in turn. */
function packed(survey: Survey): Float64Array[] {
  const whole = (from: number, to: number) => {
    const { start, weight } = bandWeights(frequency, span(coveredThirdOctaves(frequency, from, to)));
    const out = new Float64Array(frequency.length);
    out.set(weight, start);
    return out;
  };
  const responses = [...survey.mains, ...survey.subs].flatMap(({ re, im }) => [re, im]);
  return [frequency, whole(31.5, 80), whole(500, 2000), ...responses];
}
