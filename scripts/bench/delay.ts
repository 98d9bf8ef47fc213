/**
 * The delay search of 10 s at 48 kHz beside scipy: plain correlation, and correlation with whitened phase.
 *
 * Ours does more: it searches −50 to 500 ms only, but weights by coherence, looks for several arrivals and states
 * their uncertainty.
 */
import { estimateDelay } from "../../lib/measurement/delay/delay";
import { whiteNoise } from "./noise";
import { withPeer } from "./peer-process";
import { beside, medians, type Row, timed } from "./rows";

const rate = 48000;
const seconds = 10;
const late = 7777;
const peers = [
  { task: "correlate", words: "scipy.signal.correlate and argmax" },
  { task: "phase", words: "scipy.fft, whitened cross-spectrum and argmax" },
];

/**
 * Times ours and each peer in turn and takes medians; then the growth from 10 to 40 s.
 *
 * @param python  interpreter with numpy and scipy
 * @throws Error when a side does not find the delay
 */
export async function bench(python: string): Promise<Row[]> {
  const reference = whiteNoise(4 * seconds * rate, 1);
  const noise = whiteNoise(4 * seconds * rate, 2);
  const signal = noise.map((v, n) => v + (reference[n - late] ?? 0));
  const [x, y] = [reference, signal].map((s) => s.slice(0, seconds * rate));
  const require = (found: number, side: string) => {
    if (!(Math.abs(found - late) <= 0.1)) throw new Error(`delay of ${late} samples: ${side} finds ${found}`);
  };
  const ours = (a: Float64Array, b: Float64Array) => () =>
    timed(
      () => estimateDelay(a, b, rate),
      ({ chosen }) => require(chosen.time * rate, "ours"),
    );
  return withPeer(python, "delay_scipy.py", [x, y], async (peer) => {
    const rows: Row[] = [];
    for (const { task, words } of peers) {
      const theirs = () => peer(task, ([lag]) => require(lag, task));
      const [a, b] = await medians([ours(x, y), theirs], 15, 5);
      rows.push(beside("delay search, 10 s at 48 kHz", a, words, b));
    }
    const [short, long] = await medians([ours(x, y), ours(reference, signal)], 7);
    return [...rows, beside("the same, 40 s", long, "four times ours at 10 s", 4 * short)];
  });
}
