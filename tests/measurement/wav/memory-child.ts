/**
 * Reads one file in a process of its own and prints as JSON what that took: `node … stream FILE` or `node … trace FILE`.
 */
import { averageSpectra } from "../../../lib/measurement/spectra/averaged";
import { readTraceFile } from "../../../lib/measurement/trace/read";
import { openWav } from "../../../lib/measurement/wav/read";

const [, , kind, file] = process.argv;
const before = process.memoryUsage.rss();
const started = performance.now();
let result = "";
if (kind === "stream") {
  const reader = openWav(file);
  const average = averageSpectra(reader.channels - 1, { windowLength: 16_384 });
  let frames = 0;
  for (const [reference, ...microphones] of reader.blocks()) {
    average.feed(reference, microphones);
    frames += reference.length;
  }
  result = `${frames} frames, ${average.result().segments} segments`;
} else {
  try {
    result = `${readTraceFile(file).frequency.length} rows`;
  } catch (error) {
    result = (error as Error).message;
  }
}
const peak = process.resourceUsage().maxRSS * 1024;
console.log(JSON.stringify({ result, before, peak, seconds: (performance.now() - started) / 1000 }));
