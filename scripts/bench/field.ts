/**
 * The field of 2,000 seats × 240 frequencies × 84 point sources beside numpy, single thread both; then its growth.
 *
 * Numpy 2.4.6 has no vector code for double-precision cosine and sine, which 1.24.4 had on AVX-512 (0.8 against 12
 * ns each). So "as an expert writes it" is measured twice: with cosine and sine, and by the tangent of half the
 * angle, which is vectorised in both and the fastest numpy found.
 */
import { modelFrequencies } from "../../lib/field/frequencies";
import { plainPathSum } from "../../lib/field/path-sum/plain";
import { simdPathSum } from "../../lib/field/path-sum/simd";
import { type PointSource, pressureAt } from "../../lib/field/pressure";
import { withPeer } from "./peer-process";
import { beside, medians, type Row, timed } from "./rows";

const peers = [
  { task: "usual", words: "numpy, chunked complex exponential" },
  { task: "real_parts", words: "numpy, real cosine and sine" },
  { task: "tangent", words: "numpy, tangent of half the angle, in place" },
];

type MakeSum = typeof plainPathSum;

/**
 * Times both sums and each peer in turn and takes medians.
 *
 * @param python  interpreter with numpy
 * @throws Error when a peer's pressures differ from ours by more than 1e-9 of the largest
 */
export async function bench(python: string): Promise<Row[]> {
  const simd: MakeSum = (k, rows) => simdPathSum(k, rows) ?? plainPathSum(k, rows);
  const sums = [
    { name: "WebAssembly SIMD", sum: simd },
    { name: "plain TypeScript", sum: plainPathSum },
  ];
  const task = scene(2000, 84, 240);
  return withPeer(python, "field_numpy.py", [packed(task)], async (peer) => {
    const expected = sample(pressures(task, simd), task.positions.length, task.frequency.length);
    const times = await medians(
      [
        ...sums.map(
          ({ sum }) =>
            () =>
              timed(() => pressures(task, sum)),
        ),
        ...peers.map(
          ({ task: name }) =>
            () =>
              peer(name, (some) => requireSame(name, some, expected)),
        ),
      ],
      5,
      2,
    );
    const rows = sums.flatMap(({ name }, k) =>
      peers.map(({ words }, p) =>
        beside(
          `field, 2,000 seats × 240 frequencies × 84 sources, ${name}`,
          times[k],
          words,
          times[sums.length + p],
        ),
      ),
    );
    return [...rows, ...(await growth(simd))];
  });
}

const pressures = ({ sources, positions, frequency }: Scene, sum: MakeSum) =>
  pressureAt(sources, positions, frequency, { sum });

/** Four times the work in each direction; the exponent of growth is log₄ of the time's ratio. */
async function growth(sum: MakeSum): Promise<Row[]> {
  const base = { seats: 1000, sources: 40, frequencies: 120 };
  const kinds = ["seats", "sources", "frequencies"] as const;
  const sizes = [base, ...kinds.map((what) => ({ ...base, [what]: 4 * base[what] }))];
  const ways = sizes.map(({ seats, sources, frequencies }) => {
    const task = scene(seats, sources, frequencies);
    return () => timed(() => pressures(task, sum));
  });
  const [short, ...long] = await medians(ways, 9, 1);
  return long.map((seconds, i) => {
    const exponent = (Math.log(seconds / short) / Math.log(4)).toFixed(2);
    const name = `field, four times the ${kinds[i]} (growth exponent ${exponent})`;
    return beside(name, seconds, "four times ours at 1,000 × 40 × 120", 4 * short);
  });
}

interface Scene {
  readonly positions: readonly { x: number; y: number; z: number }[];
  readonly sources: readonly PointSource[];
  readonly frequency: Float64Array;
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
