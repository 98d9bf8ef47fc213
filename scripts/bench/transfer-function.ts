/**
 * Transfer functions with coherence of four microphones, 60 s at 48 kHz, 16,384-point Hann windows, 75 % overlap, beside
 * scipy.signal and beside hand-batched numpy that transforms each channel once; one thread each, double precision.
 */
import { join } from "node:path";
import { whiteNoise } from "../../lib/measurement/signals/noise";
import { transferFunctions } from "../../lib/measurement/transfer/transfer-function";
import { median, startPeer, timed } from "./peer-process";

export interface BenchRow {
  readonly name: string;
  readonly ours_s: number;
  readonly peer: string;
  readonly peer_s: number | null;
  readonly ratio: number | null;
}

const rate = 48000;
const seconds = 60;
const options = { windowLength: 16384, overlap: 0.75 };
const name = "H1 and coherence, 4 microphones × 60 s, 16,384 points, 75 % overlap";
const peers = [
  { task: "signal", peer: "scipy.signal welch, csd, coherence per microphone", runs: 5 },
  { task: "numpy", peer: "numpy.fft in batches, each channel once", runs: 9 },
  { task: "scipy", peer: "scipy.fft in batches, each channel once", runs: 9 },
];

/**
 * Times ours and each peer in turn and takes medians; then the growth from 15 to 240 s.
 *
 * @param python  interpreter with numpy and scipy
 * @throws Error when a peer's responses are not ours
 */
export async function bench(python: string): Promise<BenchRow[]> {
  const reference = whiteNoise(seconds * rate, 1);
  const microphones = [25, 100, 700, 3000].map((late, i) => {
    const noise = whiteNoise(seconds * rate, 10 + i);
    return noise.map((v, n) => 0.3 * v + 0.8 * (reference[n - late] ?? 0));
  });
  const peer = startPeer(python, join(__dirname, "transfer_function_scipy.py"), [reference, ...microphones]);
  const ours = () => transferFunctions(reference, microphones, rate, options);
  try {
    const rows: BenchRow[] = [];
    for (const { task, peer: words, runs } of peers) {
      const [a, b]: number[][] = [[], []];
      requireSame(ours(), (await peer.run(task)).figures, task);
      for (let i = 0; i < runs; i++) {
        a.push(timed(ours).seconds);
        b.push((await peer.run(task)).seconds);
      }
      rows.push({ name, ours_s: median(a), peer: words, peer_s: median(b), ratio: median(a) / median(b) });
    }
    return [...rows, ...growth(reference, microphones)];
  } finally {
    peer.close();
  }
}

/** Bin 1000 of each microphone: real and imaginary part and coherence. */
function requireSame(
  responses: readonly { re: Float64Array; im: Float64Array; coherence?: Float64Array }[],
  figures: readonly number[],
  task: string,
): void {
  responses.forEach((h, i) => {
    [h.re[999], h.im[999], h.coherence![999]].forEach((v, j) => {
      if (Math.abs(v - figures[3 * i + j]) > 1e-9) {
        throw new Error(`${task}: microphone ${i} has ${figures[3 * i + j]} where ours is ${v}`);
      }
    });
  });
}

/** Time of 15 s and of 240 s beside a quarter and four times that of 60 s: 1 is growth in proportion to length. */
function growth(reference: Float64Array, microphones: readonly Float64Array[]): BenchRow[] {
  const fourfold = (x: Float64Array) => {
    const long = new Float64Array(4 * x.length);
    for (let i = 0; i < 4; i++) long.set(x, i * x.length);
    return long;
  };
  const long = [reference, ...microphones].map(fourfold);
  const times: number[][] = [[], [], []];
  for (let i = 0; i < 3; i++) {
    [15, 60, 240].forEach((s, j) => {
      const [r, ...m] = long.map((x) => x.subarray(0, s * rate));
      times[j].push(timed(() => transferFunctions(r, m, rate, options)).seconds);
    });
  }
  const [short, middle, longest] = times.map(median);
  return [
    {
      name: "the same, 15 s",
      ours_s: short,
      peer: "a quarter of ours at 60 s",
      peer_s: middle / 4,
      ratio: (4 * short) / middle,
    },
    {
      name: "the same, 240 s",
      ours_s: longest,
      peer: "four times ours at 60 s",
      peer_s: 4 * middle,
      ratio: longest / middle / 4,
    },
  ];
}
