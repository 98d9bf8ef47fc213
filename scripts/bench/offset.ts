/**
 * The level offset, and offset with polarity and delay, beside the same searches in vectorised numpy with scipy.optimize: 2,000 seats and
 * 80 frequencies from 20 to 2,500 Hz, double precision, one thread each, the same data and the same grids.
 */
import { join } from "node:path";
import { logGrid } from "../../lib/acoustics/bands/bands";
import type { Response } from "../../lib/acoustics/response";
import { searchTogether } from "../../lib/decision/alignment/joint";
import { deviationForms } from "../../lib/decision/balance/balance";
import { bandWeights, coveredThirdOctaves, span } from "../../lib/decision/balance/band-powers";
import { bestOnCurve, costCurve } from "../../lib/decision/offset/cost-curve";
import { criteria } from "../../lib/decision/offset/criterion";
import type { Survey } from "../../lib/survey/survey";
import { median, type PeerProcess, startPeer, timed } from "./peer-process";
import type { BenchRow } from "./transfer-function";

const seats = 2000;
const runs = 15;
const frequency = logGrid(20, 2500, 80);

/**
 * Times both searches, ours and numpy's in turn, and takes medians.
 *
 * @param python  interpreter with numpy
 * @throws Error when the two do not find the same offsets
 */
export async function bench(python: string): Promise<BenchRow[]> {
  const survey = inventedSurvey();
  const peer = startPeer(python, join(__dirname, "offset_numpy.py"), packed(survey));
  try {
    return [
      await compare(peer, "offset", "level offset, three criteria, 2,000 seats × 80 frequencies", () =>
        offsets(survey),
      ),
      await compare(peer, "joint", "offset × polarity × delay, 2,000 seats × 80 frequencies", () =>
        together(survey),
      ),
    ];
  } finally {
    peer.close();
  }
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

async function compare(
  peer: PeerProcess,
  task: string,
  name: string,
  run: () => number[],
): Promise<BenchRow> {
  const ours: number[] = [];
  const theirs: number[] = [];
  // The first rounds warm both up.
  for (let i = -15; i < runs; i++) {
    const { seconds, value } = timed(run);
    const answer = await peer.run(task);
    value.forEach((cost, k) => {
      if (!(Math.abs(cost - answer.figures[k]) <= 1e-3)) {
        throw new Error(`${name}: ours costs ${cost} dB, numpy's ${answer.figures[k]} dB`);
      }
    });
    if (i < 0) continue;
    ours.push(seconds);
    theirs.push(answer.seconds);
  }
  const ours_s = median(ours);
  const peer_s = median(theirs);
  return {
    name,
    ours_s,
    peer: "numpy, vectorised over seats, and scipy.optimize",
    peer_s,
    ratio: ours_s / peer_s,
  };
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
