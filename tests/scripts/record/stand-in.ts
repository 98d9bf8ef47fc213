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
  /** When a walk passes the positions, seconds from its start: from the first to the last along straight lines, a metre a second. */
  readonly passes: readonly { readonly position: string; readonly at: number }[];
  /** So many seconds of a walk are recorded. */
  passed(seconds: number): void;
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
    const [base, number = "1"] = id.split("/");
    const { point: drawn } = venue.positions.find((p) => p.id === base)!;
    // Points around a position lie behind it, 40 cm from one to the next.
    const point = { ...drawn, x: drawn.x + 0.4 * (Number(number) - 1) };
    const near = venue.sources
      .filter((s) => (s.group === "subs") === (group === "subs"))
      .map((s) => distance(s.point, point) / speedOfSound(venue.air.temperature) + s.delay);
    return Math.min(...near);
  };
  const pointOf = (id: string) => venue.positions.find((p) => p.id === id)!.point;
  const onTheWay = positions.filter((id) => !id.includes("/")).sort((a, b) => pointOf(a).x - pointOf(b).x);
  const passes: { position: string; at: number }[] = [];
  for (const position of onTheWay) {
    const last = passes.at(-1);
    const at = last ? last.at + distance(pointOf(last.position), pointOf(position)) : 4;
    passes.push({ position, at });
  }
  let walk: { readonly file: string; readonly sound: Float64Array } | undefined;
  const quiet = new Array<number>(inputs).fill(0);
  const recorder: StandIn = {
    orders: [],
    tell,
    passes,
    passed(seconds) {
      tell({ event: "levels", peak: quiet, rms: quiet, frame: Math.round(seconds * rate), gain: 1 });
    },
    listen: (listener) => listeners.push(listener),
    close: async () => {},
    order(order) {
      recorder.orders.push(order);
      if (order.do === "quiet" && walk) ended(walk);
      if (order.do !== "take") return;
      const [, kind, number = "1"] = /^([a-z]+)(?:-(\d+))?/.exec(path.basename(order.file))!;
      const round = Number(number) - 1;
      const sound = order.sound
        ? firstOf(order.sound, outputs, order.gain ?? 1)
        : new Float64Array(order.frames);
      if (kind === "walk") {
        walk = { file: order.file, sound };
        recorder.passed(0);
        return;
      }
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

  /** A walk that is ended three seconds after its last position: the microphone on input 2 is carried. */
  function ended({ file, sound }: NonNullable<typeof walk>): void {
    walk = undefined;
    const frames = Math.round((passes[passes.length - 1].at + 3) * rate);
    const low = lowpassed(sound, rate);
    const times = passes.map(({ at }) => at);
    const path = (group: string) => passes.map(({ position }) => flight(group, position));
    const [mains, subs] = [path("mains"), path("subs")];
    const late = (x: Float64Array, n: number, seconds: number) => {
      const at = n - 400 - seconds * rate;
      const k = Math.floor(at);
      return (8 / (343 * seconds)) * ((x[k] ?? 0) * (1 - at + k) + (x[k + 1] ?? 0) * (at - k));
    };
    const high = sound.map((x, n) => x - low[n]);
    const channels = Array.from({ length: inputs }, (_, i) =>
      Float64Array.from({ length: frames }, (_, n) => {
        if (i === 0) return 0.9 * (sound[n - 400] ?? 0) + 1e-6 * random();
        if (i > 1) return 1e-5 * random();
        return (
          late(high, n, between(times, mains, n / rate)) +
          late(low, n, between(times, subs, n / rate)) +
          1e-5 * random()
        );
      }),
    );
    writeWav(`${file}.part`, { sampleRate: rate, channels, encoding: "float32" });
    tell({ event: "take", file, whole: false, stopped: true, failed: null, frames, flags: [], clock: [] });
  }
}

/** Straight from one value to the next, the first and the last beyond them. */
function between(times: readonly number[], values: readonly number[], at: number): number {
  const next = times.findIndex((t) => t > at);
  if (next === 0) return values[0];
  if (next < 0) return values[values.length - 1];
  const part = (at - times[next - 1]) / (times[next] - times[next - 1]);
  return values[next - 1] + part * (values[next] - values[next - 1]);
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
