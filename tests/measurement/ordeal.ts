/** What a damaged file must never do, whoever damaged it: shared by the seeded cases, the corpus and the fuzzer. */

import { textOf } from "../../lib/files/read";
import { MeasurementFileError } from "../../lib/measurement/file-error";
import { recordingHealth } from "../../lib/measurement/health/recording";
import { readTrace } from "../../lib/measurement/trace/read";
import { writeTrace } from "../../lib/measurement/trace/write";
import { memorySource } from "../../lib/measurement/wav/byte-source";
import { openWav, readWav } from "../../lib/measurement/wav/read";

export type Outcome = "read" | "read with warnings" | "refused";

/**
 * Puts a WAV file through everything that reads one.
 *
 * @throws Error where it does anything but be read or be refused in one clear sentence, or allocates beyond
 *   2 × its size + 100 MB
 */
export function wavOrdeal(bytes: Uint8Array): Outcome {
  return withinMemory(bytes.length, () =>
    refusedOr(() => {
      const recording = readWav(memorySource(bytes, "damaged.wav"));
      const reader = openWav(memorySource(bytes, "damaged.wav"));
      ensure(recording.channels.length === reader.channels, "channels differ between header and samples");
      ensure(
        recording.channels.every((c) => c.length === reader.frames),
        "a channel's length is not that of the header",
      );
      ensure(reader.frames > 0, "a recording without samples was read");
      let frames = 0;
      for (const block of reader.blocks(512)) {
        for (const [c, samples] of block.entries()) {
          ensure(Object.is(samples[0], recording.channels[c][frames]), "blocks differ from the whole");
        }
        frames += block[0].length;
      }
      ensure(frames === reader.frames, "blocks do not add up to the whole");
      const { faults, channels } = recordingHealth(reader);
      for (const fault of faults) requireSentence(fault.message);
      for (const { peak, effective, mean } of channels) {
        ensure(Number.isFinite(peak + effective + mean), "a figure of a channel is no number");
      }
      for (const warning of recording.warnings) requireSentence(warning);
      return recording.warnings.length > 0 ? "read with warnings" : "read";
    }),
  );
}

/**
 * Puts a trace file through reading, writing and reading again.
 *
 * @throws Error as `wavOrdeal`, or where a value read is no number or the second reading differs
 */
export function traceOrdeal(bytes: Uint8Array): Outcome {
  return withinMemory(bytes.length, () =>
    refusedOr(() => {
      const trace = readTrace(textOf(bytes), "damaged.csv");
      const { frequency, re, im, coherence, averages, diffuse } = trace;
      ensure(frequency.length > 0, "a trace without rows was read");
      ensure(
        frequency.every((f, i) => f > 0 && (i === 0 || f > frequency[i - 1])),
        "frequencies do not ascend",
      );
      for (const values of [frequency, re, im, coherence, averages, diffuse]) {
        if (!values) continue;
        ensure(values.length === frequency.length && values.every(Number.isFinite), "a value is no number");
      }
      for (const warning of trace.warnings) requireSentence(warning);
      const again = readTrace(writeTrace(trace, trace.comments, trace.notes), "damaged.csv");
      for (const field of ["frequency", "re", "im", "coherence", "averages", "diffuse"] as const) {
        const same =
          again[field]?.every((x, i) => Object.is(x, trace[field]?.[i])) ?? trace[field] === undefined;
        ensure(same, `${field} differs after writing and reading again`);
      }
      ensure(
        JSON.stringify(again.comments) === JSON.stringify(trace.comments),
        "comments differ after writing",
      );
      return trace.warnings.length > 0 ? "read with warnings" : "read";
    }),
  );
}

function refusedOr(read: () => Outcome): Outcome {
  try {
    return read();
  } catch (error) {
    if (!(error instanceof MeasurementFileError)) throw error;
    requireSentence(error.message);
    return "refused";
  }
}

function ensure(condition: boolean, problem: string): asserts condition {
  if (!condition) throw new Error(problem);
}

function requireSentence(message: string): void {
  const clear = /^(recording|trace) "damaged\.(wav|csv)": [\x20-\x7e\u00a0-\uffff]{5,400}$/.test(message);
  ensure(
    clear && !/undefined|\[object|null/.test(message.replace(/"[^"]*"/g, "")),
    `no clear sentence: ${message}`,
  );
}

const counted = ["Float64Array", "Uint8Array", "Uint32Array", "Int32Array", "Uint8ClampedArray"] as const;

/** Adds up what is allocated as typed arrays, the only large things that reading makes, and holds it against the limit. */
function withinMemory<T>(size: number, work: () => T): T {
  const limit = 2 * size + 100e6;
  const kept = counted.map((name) => globalThis[name]);
  let bytes = 0;
  for (const name of counted) {
    const plain = globalThis[name];
    // biome-ignore lint/suspicious/noExplicitAny: the five constructors share no one signature
    (globalThis as any)[name] = new Proxy(plain, {
      construct(target, given, as) {
        if (typeof given[0] === "number") bytes += given[0] * plain.BYTES_PER_ELEMENT;
        if (bytes > limit) throw new Error(`asked for ${bytes} bytes in all for a file of ${size}`);
        return Reflect.construct(target, given, as);
      },
    });
  }
  try {
    return work();
  } finally {
    // biome-ignore lint/suspicious/noExplicitAny: as above
    for (const [i, name] of counted.entries()) (globalThis as any)[name] = kept[i];
  }
}
