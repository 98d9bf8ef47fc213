/**
 * Transfer functions with coherence of four microphones, 60 s at 48 kHz, 16,384-point Hann windows, 75 % overlap, beside
 * scipy.signal and beside hand-batched numpy that transforms each channel once; one thread each, double precision.
 */
import { transferFunctions } from "../../lib/measurement/transfer/transfer-function";
import { whiteNoise } from "./noise";
import { withPeer } from "./peer-process";
import { beside, medians, type Row, timed } from "./rows";

const rate = 48000;
const seconds = 60;
const options = { windowLength: 16384, overlap: 0.75 };
const name = "H1 and coherence, 4 microphones × 60 s, 16,384 points, 75 % overlap";
const peers = [
  { task: "signal", words: "scipy.signal welch, csd, coherence per microphone", runs: 5 },
  { task: "numpy", words: "numpy.fft in batches, each channel once", runs: 9 },
  { task: "scipy", words: "scipy.fft in batches, each channel once", runs: 9 },
];

/**
 * Times ours and each peer in turn and takes medians; then the growth from 15 to 240 s.
 *
 * @param python  interpreter with numpy and scipy
 * @throws Error when a peer's responses are not ours
 */
export async function bench(python: string): Promise<Row[]> {
  const reference = whiteNoise(seconds * rate, 1);
  const microphones = [25, 100, 700, 3000].map((late, i) => {
    const noise = whiteNoise(seconds * rate, 10 + i);
    return noise.map((v, n) => 0.3 * v + 0.8 * (reference[n - late] ?? 0));
  });
  const channels = [reference, ...microphones];
  const ours = () => transferFunctions(reference, microphones, rate, options);
  return withPeer(python, "transfer_function_scipy.py", channels, async (peer) => {
    const rows: Row[] = [];
    const expected = ours();
    for (const { task, words, runs } of peers) {
      const theirs = () => peer(task, (figures) => requireSame(expected, figures, task));
      await theirs();
      const [a, b] = await medians([() => timed(ours), theirs], runs);
      rows.push(beside(name, a, words, b));
    }
    return [...rows, ...(await growth(channels))];
  });
}

/** Bin 1000 of each microphone: real and imaginary part and coherence. */
function requireSame(
  responses: ReturnType<typeof transferFunctions>,
  figures: readonly number[],
  task: string,
): void {
  responses.forEach((h, i) => {
    [h.re[999], h.im[999], h.coherence![999]].forEach((v, j) => {
      if (!(Math.abs(v - figures[3 * i + j]) <= 1e-9))
        throw new Error(`${task}: microphone ${i} has ${figures[3 * i + j]} where ours is ${v}`);
    });
  });
}

/** Time of 15 s and of 240 s beside a quarter and four times that of 60 s: 1 is growth in proportion to length. */
async function growth(channels: readonly Float64Array[]): Promise<Row[]> {
  const fourfold = channels.map((x) => {
    const long = new Float64Array(4 * x.length);
    for (let i = 0; i < 4; i++) long.set(x, i * x.length);
    return long;
  });
  const ways = [15, 60, 240].map((length) => {
    const [r, ...m] = fourfold.map((x) => x.subarray(0, length * rate));
    return () => timed(() => transferFunctions(r, m, rate, options));
  });
  const [short, middle, long] = await medians(ways, 3);
  return [
    beside("the same, 15 s", short, "a quarter of ours at 60 s", middle / 4),
    beside("the same, 240 s", long, "four times ours at 60 s", 4 * middle),
  ];
}
