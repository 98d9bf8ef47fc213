/**
 * The delay search of 10 s at 48 kHz beside scipy: plain correlation, and correlation with whitened phase.
 *
 * Ours does more: it searches −50 to 500 ms only, but weights by coherence, looks for several arrivals and states
 * their uncertainty.
 */
import { join } from "node:path";
import { estimateDelay } from "../../lib/measurement/delay/delay";
import { whiteNoise } from "../../lib/measurement/signals/noise";
import { median, startPeer, timed } from "./peer-process";
import type { BenchRow } from "./transfer-function";

const rate = 48000;
const seconds = 10;
const late = 7777;
const runs = 15;
const peers = [
  { task: "correlate", peer: "scipy.signal.correlate and argmax" },
  { task: "phase", peer: "scipy.fft, whitened cross-spectrum and argmax" },
];

/**
 * Times ours and each peer in turn and takes medians; then the growth from 10 to 40 s.
 *
 * @param python  interpreter with numpy and scipy
 * @throws Error when a side does not find the delay
 */
export async function bench(python: string): Promise<BenchRow[]> {
  const reference = whiteNoise(4 * seconds * rate, 1);
  const noise = whiteNoise(4 * seconds * rate, 2);
  const signal = noise.map((v, n) => v + (reference[n - late] ?? 0));
  const [x, y] = [reference, signal].map((s) => s.slice(0, seconds * rate));
  const ours = () => estimateDelay(x, y, rate);
  const peer = startPeer(python, join(__dirname, "delay_scipy.py"), [x, y]);
  try {
    const rows: BenchRow[] = [];
    for (const { task, peer: words } of peers) {
      const [a, b]: number[][] = [[], []];
      for (let i = -5; i < runs; i++) {
        const mine = timed(ours);
        const theirs = await peer.run(task);
        if (Math.abs(mine.value.chosen.time * rate - late) > 0.1 || theirs.figures[0] !== late) {
          throw new Error(
            `delay of ${late} samples: ours ${mine.value.chosen.time * rate}, ${task} ${theirs.figures[0]}`,
          );
        }
        if (i < 0) continue;
        a.push(mine.seconds);
        b.push(theirs.seconds);
      }
      rows.push({
        name: "delay search, 10 s at 48 kHz",
        ours_s: median(a),
        peer: words,
        peer_s: median(b),
        ratio: median(a) / median(b),
      });
    }
    return [...rows, growth(reference, signal)];
  } finally {
    peer.close();
  }
}

function growth(reference: Float64Array, signal: Float64Array): BenchRow {
  const times: number[][] = [[], []];
  for (let i = 0; i < 7; i++) {
    [seconds, 4 * seconds].forEach((s, j) => {
      const [x, y] = [reference, signal].map((v) => v.subarray(0, s * rate));
      times[j].push(timed(() => estimateDelay(x, y, rate)).seconds);
    });
  }
  const [short, long] = times.map(median);
  return {
    name: "the same, 40 s",
    ours_s: long,
    peer: "four times ours at 10 s",
    peer_s: 4 * short,
    ratio: long / short / 4,
  };
}
