/**
 * The field of 2,000 seats × 240 frequencies × 84 point sources beside numpy, single thread both; then its growth.
 *
 * Numpy 2.4.6 has no vector code for double-precision cosine and sine, which 1.24.4 had on AVX-512 (0.8 against 12
 * ns each). So "as an expert writes it" is measured twice: with cosine and sine, and by the tangent of half the
 * angle, which is vectorised in both and the fastest numpy found.
 */
import { join } from "node:path";
import { modelFrequencies } from "../../lib/field/frequencies";
import { plainPhasorSum, simdPhasorSum } from "../../lib/field/path-sum/phasor-sum";
import { type PointSource, pressureAt } from "../../lib/field/pressure";
import { median, startPeer, timed } from "./peer-process";
import type { BenchRow } from "./transfer-function";

const peers = [
  { task: "usual", words: "numpy, chunked complex exponential" },
  { task: "real_parts", words: "numpy, real cosine and sine" },
  { task: "tangent", words: "numpy, tangent of half the angle, in place" },
];
const runs = 5;

type Kernel = typeof plainPhasorSum;

/**
 * Times both kernels and each peer in turn and takes medians.
 *
 * @param python  interpreter with numpy
 * @throws Error when a peer's pressures differ from ours by more than 1e-9 of the largest
 */
export async function bench(python: string): Promise<BenchRow[]> {
  const simd: Kernel = (k, n) => simdPhasorSum(k, n) ?? plainPhasorSum(k, n);
  const kernels = [
    { name: "WebAssembly SIMD", kernel: simd, times: [] as number[] },
    { name: "plain TypeScript", kernel: plainPhasorSum, times: [] as number[] },
  ];
  const task = scene(2000, 84, 240);
  const peer = startPeer(python, join(__dirname, "field_numpy.py"), [packed(task)]);
  const theirs = peers.map(() => [] as number[]);
  try {
    for (let i = -2; i < runs; i++) {
      for (const { kernel, times } of kernels) {
        const { seconds, value } = timed(() =>
          pressureAt(task.sources, task.positions, task.frequency, { sum: kernel }),
        );
        if (i >= 0) times.push(seconds);
        else task.check = sample(value, task.positions.length, task.frequency.length);
      }
      for (const [p, { task: name }] of peers.entries()) {
        const { seconds, figures } = await peer.run(name);
        if (i >= 0) theirs[p].push(seconds);
        else requireSame(name, figures, task.check);
      }
    }
  } finally {
    peer.close();
  }
  const rows = kernels.flatMap(({ name, times }) =>
    peers.map(({ words }, p) => ({
      name: `field, 2,000 seats × 240 frequencies × 84 sources, ${name}`,
      ours_s: median(times),
      peer: words,
      peer_s: median(theirs[p]),
      ratio: median(times) / median(theirs[p]),
    })),
  );
  return [...rows, ...growth(simd)];
}

/** Four times the work in each direction; the exponent of growth is log₄ of the time's ratio. */
function growth(kernel: Kernel): BenchRow[] {
  const base = { seats: 1000, sources: 40, frequencies: 120 };
  const grown = (["seats", "sources", "frequencies"] as const).map((what) => ({
    what,
    ...base,
    [what]: 4 * base[what],
  }));
  const all = [{ what: "base", ...base }, ...grown].map((size) => ({
    ...size,
    task: scene(size.seats, size.sources, size.frequencies),
    times: [] as number[],
  }));
  for (let i = -1; i < 9; i++) {
    for (const { task, times } of all) {
      const { seconds } = timed(() =>
        pressureAt(task.sources, task.positions, task.frequency, { sum: kernel }),
      );
      if (i >= 0) times.push(seconds);
    }
  }
  const [short, ...long] = all.map(({ times }) => median(times));
  return long.map((seconds, i) => ({
    name: `field, four times the ${all[i + 1].what} (growth exponent ${(Math.log(seconds / short) / Math.log(4)).toFixed(2)})`,
    ours_s: seconds,
    peer: "four times ours at 1,000 × 40 × 120",
    peer_s: 4 * short,
    ratio: seconds / short / 4,
  }));
}

interface Scene {
  readonly positions: readonly { x: number; y: number; z: number }[];
  readonly sources: readonly PointSource[];
  readonly frequency: Float64Array;
  check: number[];
}

function scene(seats: number, sources: number, frequencies: number): Scene {
  let state = 1;
  const between = (a: number, b: number): number => {
    state = (state * 1664525 + 1013904223) >>> 0;
    return a + ((b - a) * state) / 2 ** 32;
  };
  const grid = modelFrequencies();
  const frequency = Float64Array.from(
    { length: frequencies },
    (_, i) => grid[i % 240] * (1 + Math.floor(i / 240) / 100),
  );
  return {
    frequency: frequency.sort(),
    positions: Array.from({ length: seats }, () => ({
      x: between(1, 40),
      y: between(-15, 15),
      z: between(0, 5),
    })),
    sources: Array.from({ length: sources }, () => ({
      point: { x: between(-2, 0), y: between(-8, 8), z: between(0, 8) },
      re: frequency.map(() => between(-1, 1)),
      im: frequency.map(() => between(-1, 1)),
    })),
    check: [],
  };
}

function packed({ positions, sources, frequency }: Scene): Float64Array {
  return Float64Array.from([
    positions.length,
    sources.length,
    frequency.length,
    ...positions.flatMap(({ x, y, z }) => [x, y, z]),
    ...sources.flatMap(({ point: { x, y, z } }) => [x, y, z]),
    ...frequency,
    ...sources.flatMap(({ re }) => [...re]),
    ...sources.flatMap(({ im }) => [...im]),
  ]);
}

/** The same few pressures that the peer reports. */
function sample(
  { re, im }: { re: Float64Array; im: Float64Array },
  positions: number,
  frequencies: number,
): number[] {
  const of = (values: Float64Array): number[] => {
    const some: number[] = [];
    for (let p = 0; p < positions; p += Math.floor(positions / 7)) {
      for (let f = 0; f < frequencies; f += Math.floor(frequencies / 5))
        some.push(values[p * frequencies + f]);
    }
    return some;
  };
  return [...of(re), ...of(im)];
}

function requireSame(name: string, theirs: readonly number[], ours: readonly number[]): void {
  const largest = Math.max(...ours.map(Math.abs));
  const apart = Math.max(...ours.map((x, i) => Math.abs(x - theirs[i])));
  if (theirs.length !== ours.length || !(apart <= 1e-9 * largest)) {
    throw new Error(`field by ${name}: pressures differ by ${apart} where the largest is ${largest}`);
  }
}
