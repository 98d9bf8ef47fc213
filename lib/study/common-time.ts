/**
 * Whether takes share a time base, and what time to take out of each so that mains and subs keep their phase to each other.
 *
 * Where the reference is a channel beside the microphones, or a track of the same recorder, all takes share one. Devices that were
 * started for each take have a new one each time: what plays together in a take of both tells how the others lie.
 */
import type { Response } from "../acoustics/response";
import { transferFunctions } from "../measurement/transfer/transfer-function";
import type { Complexes } from "../numeric/complexes";
import { median } from "../numeric/statistics";
import type { OpenTake } from "./open-take";
import type { Take } from "./show-file";

/** A position in a take, with the delay that the take itself tells, seconds. */
export interface Timed {
  readonly position: string;
  readonly delay: number;
}

/** A position in a take, with what to take out. */
export interface Placed {
  readonly position: string;
  /** Seconds. */
  readonly bulk: number;
  /** Whether it then keeps its phase to the mains there; "roughly" within a few milliseconds. */
  readonly inTime: boolean | "roughly";
}

/** Takes with the same name share a time base. */
export function timeBaseOf(take: Take): string {
  if ("traces" in take) return "traces";
  const { reference } = take;
  if (typeof reference === "number" || reference.sameRecorder) return "one recorder";
  return `"${take.recording}" with "${reference.recording}"`;
}

/** Keeps the time of a show's takes; they come in the order mains, both, subs. */
export function commonTime() {
  const mains = new Map<string, { readonly base: string; readonly delay: number }>();
  const shifts = new Map<string, number>();
  const together = new Map<string, Complexes>();
  const shiftOf = (base: string, position: string) => {
    const known = mains.get(position);
    if (!known) return undefined;
    return known.base === base ? 0 : shifts.get(`${known.base} / ${base}`);
  };

  /** What to take out at each position of a take. */
  function place(take: Take, found: readonly Timed[], opened: OpenTake, channelOf: (id: string) => number) {
    const base = timeBaseOf(take);
    if (take.playing === "mains")
      // A second take of the mains is held to the time of the first.
      for (const { position, delay } of found) if (!mains.has(position)) mains.set(position, { base, delay });
    let rough = false;
    const beside = found.filter(({ position }) => mains.has(position));
    const unknown = beside.filter(({ position }) => shiftOf(base, position) === undefined);
    for (const first of new Set(unknown.map(({ position }) => mains.get(position)!.base))) {
      const there = unknown.filter(({ position }) => mains.get(position)!.base === first);
      const middle = median(there.map(({ position, delay }) => delay - mains.get(position)!.delay));
      let shift = middle;
      if (take.playing === "subs") {
        const lines = linesOf(
          there.map(({ position }) => ({ position, bulk: mains.get(position)!.delay + middle })),
          opened,
          channelOf,
        );
        const later = laterBy(lines, together);
        rough = later !== undefined;
        shift += later ?? 0;
        if (later === undefined) continue;
      }
      shifts.set(`${first} / ${base}`, shift);
    }
    const placed = found.map(({ position, delay }): Placed => {
      const shift = shiftOf(base, position);
      if (shift === undefined) return { position, bulk: delay, inTime: take.playing === "mains" };
      return { position, bulk: mains.get(position)!.delay + shift, inTime: rough ? "roughly" : true };
    });
    if (take.playing === "both") {
      for (const [position, line] of linesOf(placed, opened, channelOf)) together.set(position, line);
    }
    return placed;
  }
  return { place };
}

/** Low frequencies of a take at full resolution, hertz: a window of some 1.4 s keeps what is a quarter of a second off. */
const LOW = { from: 30, to: 120 };
/** Seconds that a first guess by the subs' own arrival may be off. */
const FARTHEST = 0.3;

function linesOf(
  placed: readonly { readonly position: string; readonly bulk: number }[],
  { reference, channels, sampleRate }: OpenTake,
  channelOf: (id: string) => number,
): Map<string, Complexes & { readonly frequency: Float64Array }> {
  const windowLength = 2 ** Math.round(Math.log2(1.4 * sampleRate));
  if (placed.length === 0 || reference.length < 2 * windowLength) return new Map();
  const responses = transferFunctions(
    reference,
    placed.map(({ position }) => channels.get(channelOf(position))!),
    sampleRate,
    { windowLength, delays: placed.map(({ bulk }) => bulk) },
  );
  const from = responses[0].frequency.findIndex((f) => f >= LOW.from);
  const to = responses[0].frequency.findIndex((f) => f > LOW.to);
  return new Map(
    responses.map(({ frequency, re, im }, i) => [
      placed[i].position,
      { frequency: frequency.slice(from, to), re: re.slice(from, to), im: im.slice(from, to) },
    ]),
  );
}

/** How much later the subs alone are than the subs in both, seconds; undefined where it can't be told. */
function laterBy(
  subs: ReadonlyMap<string, Complexes & { readonly frequency: Float64Array }>,
  both: ReadonlyMap<string, Complexes>,
): number | undefined {
  const pairs = [...subs].flatMap(([position, s]) => {
    const b = both.get(position);
    return b ? [{ source: s, target: b, frequency: s.frequency }] : [];
  });
  const found = bestShift(pairs, FARTHEST);
  return found && found.likeness > 0.5 ? -found.shift : undefined;
}

/**
 * The time of subs beside mains that the take of both asks for: what is both less the mains must be the subs.
 *
 * @param positions  at each, mains, subs and both, all with the same times taken out but for what is to be found
 * @returns seconds by which the subs are to be made later; undefined where both is not the sum of the two at any time
 */
export function timeFromSum(
  positions: readonly { readonly mains: Response; readonly subs: Response; readonly both: Response }[],
): number | undefined {
  const pairs = positions.map(({ mains, subs, both }) => {
    const kept = mains.frequency.reduce<number[]>((list, f, i) => {
      if (f >= LOW.from && f <= 2 * LOW.to) list.push(i);
      return list;
    }, []);
    const pick = (values: Float64Array) => Float64Array.from(kept, (i) => values[i]);
    const rest = (a: Float64Array, b: Float64Array) => Float64Array.from(kept, (i) => a[i] - b[i]);
    return {
      frequency: pick(mains.frequency),
      source: { re: pick(subs.re), im: pick(subs.im) },
      target: { re: rest(both.re, mains.re), im: rest(both.im, mains.im) },
    };
  });
  const found = bestShift(pairs, 0.02);
  return found && found.likeness > 0.7 ? found.shift : undefined;
}

/** The shift, later, that makes the sources most like their targets, all positions together, and how like they are then, 0…1; `step` is half of what a peak is wide, seconds. */
export function bestShift(
  pairs: readonly {
    readonly frequency: Float64Array;
    readonly source: Complexes;
    readonly target: Complexes;
  }[],
  farthest: number,
  step = 1e-3,
): { shift: number; likeness: number } | undefined {
  let heard = 0;
  const terms = pairs.flatMap(({ frequency, source, target }) => {
    const square = (x: Complexes) => x.re.reduce((sum, re, i) => sum + re * re + x.im[i] ** 2, 0);
    // Each position counts alike, however far back.
    const scale = Math.sqrt(square(source) * square(target));
    if (!(scale > 0)) return [];
    heard++;
    return Array.from(frequency, (f, i) => ({
      angle: 2 * Math.PI * f,
      re: (target.re[i] * source.re[i] + target.im[i] * source.im[i]) / scale,
      im: (target.im[i] * source.re[i] - target.re[i] * source.im[i]) / scale,
    }));
  });
  if (heard === 0) return undefined;
  const agreement = (shift: number) =>
    terms.reduce(
      (sum, { angle, re, im }) => sum + re * Math.cos(angle * shift) - im * Math.sin(angle * shift),
      0,
    );
  let best = { shift: 0, value: Number.NEGATIVE_INFINITY };
  const look = (shift: number) => {
    const value = agreement(shift);
    if (value > best.value) best = { shift, value };
  };
  for (let k = -Math.round(farthest / step); k <= Math.round(farthest / step); k++) look(k * step);
  for (let width = step / 2; width > 1e-6; width /= 2) {
    const { shift } = best;
    look(shift - width);
    look(shift + width);
  }
  return { shift: best.shift, likeness: best.value / heard };
}
