/** Stands in for the recorder's process and an interface: it "hears" a system of two loudspeakers in the free field. */
import { readFileSync } from "node:fs";
import path from "node:path";
import { speedOfSound } from "../../../lib/acoustics/distance/air";
import { distance } from "../../../lib/acoustics/point";
import { writeWav } from "../../../lib/measurement/wav/write";
import { normal } from "../../../lib/numeric/random";
import type { Venue } from "../../../lib/venue/venue";
import type { Order, Recorder, RecorderEvent, Setting } from "../../../scripts/record/recorder";

export interface StandIn extends Recorder {
  readonly orders: Order[];
  /** What goes wrong in the next take. */
  fault?: (channels: Float64Array[], report: { [key: string]: unknown }) => void;
  tell(event: RecorderEvent): void;
}

/** Microphones on inputs 2 and up stand at these positions, the loop-back is input 1. */
export function standIn(
  venue: Venue,
  positions: readonly string[],
  { inputs, outputs, rate }: Setting,
): StandIn {
  const listeners: ((event: RecorderEvent) => void)[] = [];
  const random = normal(11);
  const tell = (event: RecorderEvent) => {
    for (const listener of listeners) listener(event);
  };
  const flight = (group: string, id: string) => {
    const point = venue.positions.find((p) => p.id === id)!.point;
    const near = venue.sources
      .filter((s) => (s.group === "subs") === (group === "subs"))
      .map((s) => distance(s.point, point) / speedOfSound(venue.air.temperature) + s.delay);
    return Math.min(...near);
  };
  const recorder: StandIn = {
    orders: [],
    tell,
    listen: (listener) => listeners.push(listener),
    close: async () => {},
    order(order) {
      recorder.orders.push(order);
      if (order.do !== "take") return;
      const kind = path.basename(order.file).replace(/(-\d+)?\.wav$/, "");
      const round = Number(/-(\d+)\.wav$/.exec(order.file)?.[1] ?? 1) - 1;
      const sound = order.sound
        ? firstOf(order.sound, outputs, order.gain ?? 1)
        : new Float64Array(order.frames);
      const low = lowpassed(sound, rate);
      const high = sound.map((x, n) => x - low[n]);
      const late = (x: Float64Array, seconds: number, gain: number) => {
        const by = Math.round(seconds * rate);
        return (n: number) => gain * (x[n - by] ?? 0);
      };
      const each = inputs - 1;
      const channels = Array.from({ length: inputs }, (_, i) => {
        if (i === 0) return sound.map((_, n) => 0.9 * (sound[n - 400] ?? 0) + 1e-6 * random());
        const id = positions[round * each + i - 1];
        const parts =
          kind === "noise" || id === undefined
            ? []
            : kind === "match"
              ? [late(sound, 0.02 + (2 * i) / rate, 0.5)]
              : [
                  ...(kind === "subs"
                    ? []
                    : [late(high, 400 / rate + flight("mains", id), 8 / (343 * flight("mains", id)))]),
                  ...(kind === "mains"
                    ? []
                    : [late(low, 400 / rate + flight("subs", id), 8 / (343 * flight("subs", id)))]),
                ];
        return sound.map((_, n) => parts.reduce((sum, part) => sum + part(n), 1e-5 * random()));
      });
      const frames = order.frames;
      const report: { [key: string]: unknown } = {
        file: order.file,
        whole: true,
        stopped: false,
        failed: null,
        frames,
        flags: [],
        clock: [],
      };
      recorder.fault?.(channels, report);
      recorder.fault = undefined;
      writeWav(report.failed ? `${order.file}.part` : order.file, {
        sampleRate: rate,
        channels,
        encoding: "float32",
      });
      tell({
        event: "levels",
        peak: channels.map(() => 0.1),
        rms: channels.map(() => 0.02),
        frame: frames,
        gain: 0,
      });
      tell({ event: "take", ...report } as RecorderEvent);
    },
  };
  return recorder;
}

function firstOf(file: string, outputs: number, gain: number): Float64Array {
  const bytes = readFileSync(file);
  const all = new Float32Array(bytes.buffer, bytes.byteOffset, bytes.length / 4);
  return Float64Array.from({ length: all.length / outputs }, (_, n) => gain * all[n * outputs]);
}

/** Twice one pole at 90 Hz. */
function lowpassed(x: Float64Array, rate: number): Float64Array {
  const a = 1 - Math.exp((-2 * Math.PI * 90) / rate);
  let [u, v] = [0, 0];
  return x.map((s) => {
    u += a * (s - u);
    v += a * (u - v);
    return v;
  });
}
