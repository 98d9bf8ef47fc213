/**
 * The level offset, and offset with polarity and delay, beside the same searches in vectorised numpy: 2,000 seats and
 * 80 frequencies from 20 to 2,500 Hz, double precision, one thread each, the same data and the same grids.
 */
import { type ChildProcess, spawn } from "node:child_process";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { createInterface } from "node:readline";
import { logGrid } from "../../lib/acoustics/bands";
import type { Response } from "../../lib/acoustics/response";
import { deviationForms } from "../../lib/decision/balance";
import { bandWeights, coveredThirds, span } from "../../lib/decision/band-powers";
import { bestOnCurve, costCurve } from "../../lib/decision/cost-curve";
import { criteria } from "../../lib/decision/criterion";
import { searchTogether } from "../../lib/decision/joint";
import type { Survey } from "../../lib/survey/survey";

export interface BenchRow {
  readonly name: string;
  readonly ours_s: number;
  readonly peer: string;
  readonly peer_s: number;
  readonly ratio: number;
}

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
  const folder = mkdtempSync(join(tmpdir(), "offset-bench-"));
  const survey = inventedSurvey();
  writeData(survey, folder);
  const peer = spawn(python, [join(__dirname, "offset_numpy.py"), folder], {
    stdio: ["pipe", "pipe", "inherit"],
    env: { ...process.env, OMP_NUM_THREADS: "1", OPENBLAS_NUM_THREADS: "1" },
  });
  try {
    const answers = answersOf(peer);
    const rows: BenchRow[] = [];
    for (const [task, name, run] of [
      ["offset", "level offset, three criteria, 2,000 seats × 80 frequencies", () => offsets(survey)],
      ["joint", "offset × polarity × delay, 2,000 seats × 80 frequencies", () => together(survey)],
    ] as const) {
      rows.push(await compare(task, name, run, peer, answers));
    }
    return rows;
  } finally {
    peer.kill();
    rmSync(folder, { recursive: true, force: true });
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
  task: string,
  name: string,
  run: () => number[],
  peer: ChildProcess,
  answers: AsyncIterator<{ seconds: number; found: number[] }>,
): Promise<BenchRow> {
  const ours: number[] = [];
  const theirs: number[] = [];
  for (let i = 0; i < runs + 3; i++) {
    const start = performance.now();
    const found = run();
    const seconds = (performance.now() - start) / 1000;
    peer.stdin?.write(`${task}\n`);
    const answer = (await answers.next()).value;
    found.forEach((cost, k) => {
      if (!(cost <= answer.found[k] + 1e-3)) {
        throw new Error(`${name}: ours costs ${cost} dB, numpy's ${answer.found[k]} dB`);
      }
    });
    // The first rounds warm both up.
    if (i < 3) continue;
    ours.push(seconds);
    theirs.push(answer.seconds);
  }
  const ours_s = median(ours);
  const peer_s = median(theirs);
  return { name, ours_s, peer: "numpy, vectorised over seats", peer_s, ratio: ours_s / peer_s };
}

async function* answersOf(peer: ChildProcess): AsyncGenerator<{ seconds: number; found: number[] }> {
  if (!peer.stdout) throw new Error("the numpy side has no output");
  for await (const line of createInterface({ input: peer.stdout })) yield JSON.parse(line);
}

function median(values: number[]): number {
  return [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)];
}

/** Two groups of point sources with a rear wall: enough interference for several dips. */
function inventedSurvey(): Survey {
  const positions = Array.from({ length: seats }, (_, i) => ({
    id: `seat ${i}`,
    point: { x: 3 + (i % 50) * 0.7, y: -12 + Math.floor(i / 50) * 0.6, z: 1.2 },
    area: "stalls",
    people: 1,
  }));
  const group = (y: number, z: number, level: number) =>
    positions.map(({ point }): Response => {
      const re = new Float64Array(frequency.length);
      const im = new Float64Array(frequency.length);
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

function writeData(survey: Survey, folder: string): void {
  const low = span(coveredThirds(frequency, 31.5, 80));
  const mid = span(coveredThirds(frequency, 500, 2000));
  const whole = (band: typeof low) => {
    const out = new Float64Array(frequency.length);
    const { start, weight } = bandWeights(frequency, band);
    out.set(weight, start);
    return out;
  };
  const rows = [...survey.mains, ...survey.subs].flatMap(({ re, im }) => [re, im]);
  const all = new Float64Array((rows.length + 3) * frequency.length);
  [frequency, whole(low), whole(mid), ...rows].forEach((row, i) => {
    all.set(row, i * frequency.length);
  });
  writeFileSync(join(folder, "survey.f64"), Buffer.from(all.buffer));
  writeFileSync(join(folder, "shape.json"), JSON.stringify({ seats, frequencies: frequency.length }));
}
