/**
 * What places hear of sources by waves, recorded once: the responses to one common drive, and from them the pressure at any
 * of the places for any frequencies and any drive.
 */
import { patternFactors } from "../../acoustics/directivity/pattern";
import { cross, type Point, scale } from "../../acoustics/point";
import { addTo, type Complexes, longDelayFactor, multiply } from "../../numeric/complexes";
import { acousticCentre } from "../../venue/centre";
import type { Source } from "../../venue/venue";
import { drive } from "../drive";
import { latest } from "../latest";
import { dispersionOf } from "./dispersion";
import { COURANT, type WaveRoom } from "./room";
import { type Progress, runBytes, runFields, type Spot } from "./run";
import type { Along } from "./spot";

/** Sources that sound together: each as much as `relative` says, on `pulseFrequencies`, of the drive that all share. */
export interface Emitter {
  readonly sources: readonly {
    readonly point: Point;
    /** Where it is a derivative of a point source that sounds. */
    readonly along?: Along;
    readonly relative: Complexes;
    /** Seconds after the one that begins: in them its pulse begins later. */
    readonly later: number;
  }[];
  /** How much later than the one that begins the shared drive is, seconds. */
  readonly lead: number;
  /** Of the walls as it meets them; as the room has them by default. */
  readonly admittance?: WaveRoom["admittance"];
}

export interface Recording {
  /** Number of each piece in a step that was heard. */
  readonly place: ReadonlyMap<number, number>;
  /** What pieces heard: piece by piece within each step. */
  readonly heard: Float32Array;
  /** Seconds between the steps that were heard, and of the pulse's middle. */
  readonly step: number;
  readonly start: number;
  readonly size: number;
  /** Of the grid's own time. */
  readonly gridStep: number;
  readonly speedOfSound: number;
}

/** Sound as waves are computed for it, hertz: all of it from the first to the second, nothing beyond the others. */
const BAND = { none: 6, from: 18, to: 180, end: 240 };
/** Seconds before the middle of the pulse, and of the pulse in all: what is beyond is 60 dB down. */
const START = 0.1;
const SPAN = 0.3;
/** Frequencies that a pulse is made of: so close that it ends within its span. */
export const pulseFrequencies = Float64Array.from(
  { length: Math.floor(BAND.end * 2 * SPAN) },
  (_, i) => (i + 1) / (2 * SPAN),
);

/**
 * Lets emitters sound and records them.
 *
 * @param room  the venue
 * @param emitters  each is recorded alone; four at a time take hardly longer than one
 * @param pieces  of air, to be recorded
 */
export function record(
  room: WaveRoom,
  emitters: readonly Emitter[],
  pieces: readonly number[],
  progress?: Progress,
): Recording[] {
  const { cells, equations, speedOfSound: c } = room;
  const step = (COURANT * cells.size) / c;
  const dispersion = dispersionOf(cells.size, step, c);
  const every = Math.max(1, Math.floor(1 / (2.1 * BAND.end * step)));
  const place = new Map(pieces.map((piece, i) => [piece, i]));
  const radians = pulseFrequencies.map((f) => dispersion.radian((2 * Math.PI * f) / c));
  const layer = room.layer?.(step);
  const longest = Math.max(...emitters.flatMap(({ sources }) => sources.map((s) => s.later)));
  const steps = Math.ceil((START + longest + room.seconds) / step);
  const results = 4 * emitters.length * pieces.length * Math.ceil(steps / every);
  // Emitters may have sources in common, and differ in their walls alone.
  const pulses = new Map<Complexes, Float32Array>();
  for (const { sources, lead } of emitters)
    for (const { relative, later } of sources)
      if (!pulses.has(relative)) pulses.set(relative, pulse(relative, radians, step, lead, later));
  const bytes = runBytes(cells, equations, pieces.length, layer) + results;
  if (bytes > MOST_BYTES) {
    throw new RangeError(
      `waves of this venue at ${pieces.length} pieces of air need ${Math.ceil(bytes / 1e6)} MB, more than ${MOST_BYTES / 1e6}: ask for fewer places at once, or for the paths alone, lowBand: "paths"`,
    );
  }
  const heard = runFields(cells, equations, {
    speedOfSound: c,
    step,
    steps,
    every,
    admittance: (wall, field) => (emitters[field].admittance ?? room.admittance)(wall),
    progress,
    fields: emitters.map(({ sources }) =>
      sources.map(({ point, along, relative }) => {
        const spot = room.spot(point, along);
        if (!spot) throw new RangeError("a source lies in no air");
        return { spot, samples: pulses.get(relative) as Float32Array };
      }),
    ),
    layer,
    receivers: pieces.map((piece) => ({ pieces: [piece], weights: [1] })),
  });
  const shared = {
    place,
    step: every * step,
    size: cells.size,
    gridStep: step,
    speedOfSound: c,
  };
  return heard.map((h, i) => ({ ...shared, start: START + emitters[i].lead, heard: h }));
}

const MOST_BYTES = 2e9;

/** The pulse in time whose spectrum, within the band, is a source's share of the drive, whose own has its middle at START + lead. */
function pulse(
  { re, im }: Complexes,
  radians: Float64Array,
  step: number,
  lead: number,
  later: number,
): Float32Array {
  const before = Math.floor(later / step);
  const count = Math.ceil((START + SPAN) / step);
  const middle = START + lead - before * step;
  const sum = new Float64Array(count);
  radians.forEach((radian, i) => {
    const weight = share(pulseFrequencies[i]) / SPAN;
    const [a, b] = [Math.cos(radian * step), Math.sin(radian * step)];
    let x = weight * (re[i] * Math.cos(radian * middle) + im[i] * Math.sin(radian * middle));
    let y = weight * (im[i] * Math.cos(radian * middle) - re[i] * Math.sin(radian * middle));
    for (let n = 0; n < count; n++) {
      sum[n] += x;
      [x, y] = [x * a - y * b, x * b + y * a];
    }
  });
  const fade = 0.1 * count;
  const edge = (n: number): number => (n > fade ? 1 : 0.5 - 0.5 * Math.cos((Math.PI * n) / fade));
  const samples = new Float32Array(before + count);
  sum.forEach((value, n) => {
    samples[before + n] = value * edge(n) * edge(count - 1 - n);
  });
  return samples;
}

/** How much of the drive the pulse has at a frequency. */
function share(f: number): number {
  const { none, from, to, end } = BAND;
  const part = f < from ? (f - none) / (from - none) : f > to ? (end - f) / (end - to) : 1;
  return part <= 0 ? 0 : part >= 1 ? 1 : 0.5 - 0.5 * Math.cos(Math.PI * part);
}

/** A recording, how much of it is heard, and how many seconds later. */
export interface Part {
  readonly recording: Recording;
  readonly weight: number;
  readonly delay: number;
}

/**
 * Makes the function that gives the response at a place to the drive that all sources share.
 *
 * @param parts  of one room, which sound together
 * @param frequency  hertz, 18 to 180
 */
export function listener(parts: readonly Part[], frequency: Float64Array): (spot: Spot) => Complexes {
  // What begins and ends alike is added as it was heard, the rest by its phase.
  const alike = new Map<string, Part[]>();
  for (const part of parts) {
    const { start, heard, place } = part.recording;
    const key = JSON.stringify([part.delay, start, heard.length / place.size]);
    alike.set(key, [...(alike.get(key) ?? []), part]);
  }
  const together = [...alike.values()].map((some) => ({
    hear: listenerInTime(some, frequency),
    late: some[0].delay === 0 ? undefined : longDelayFactor(frequency, some[0].delay),
  }));
  return (spot) => {
    const [sum, ...others] = together.map(({ hear, late }) => {
      const heard = hear(spot);
      if (late) multiply(heard, late);
      return heard;
    });
    for (const heard of others) addTo(sum, heard);
    return sum;
  };
}

function listenerInTime(parts: readonly Part[], frequency: Float64Array): (spot: Spot) => Complexes {
  const [{ recording }] = parts;
  const { step, start, speedOfSound: c } = recording;
  const dispersion = dispersionOf(recording.size, recording.gridStep, c);
  const count = recording.heard.length / recording.place.size;
  const series = new Float64Array(count);
  const waveNumbers = frequency.map((f) => (2 * Math.PI * f) / c);
  const cosines = waveNumbers.map((k) => Math.cos(dispersion.radian(k) * step));
  const sines = waveNumbers.map((k) => -Math.sin(dispersion.radian(k) * step));
  const scales = waveNumbers.map((k, i) => (dispersion.strength(k) * step) / share(frequency[i]));
  const first = waveNumbers.map((k) => dispersion.radian(k) * start);
  const starts = {
    re: scales.map((s, f) => s * Math.cos(first[f])),
    im: scales.map((s, f) => s * Math.sin(first[f])),
  };
  return ({ pieces, weights }) => {
    series.fill(0);
    for (const { recording: own, weight: much } of parts) {
      const { heard, place } = own;
      const columns = place.size;
      pieces.forEach((piece, i) => {
        const column = place.get(piece);
        if (column === undefined) throw new RangeError("a place was not recorded");
        const weight = much * weights[i];
        for (let n = 0, at = column; n < count; n++, at += columns) series[n] += weight * heard[at];
      });
    }
    const re = new Float64Array(frequency.length);
    const im = new Float64Array(frequency.length);
    for (let f = 0; f < frequency.length; f += 2) {
      // The sum from the last step to the first: one turn for each. Two frequencies at a time, as one would wait for itself.
      const g = Math.min(f + 1, frequency.length - 1);
      const [a, b, c, d] = [cosines[f], sines[f], cosines[g], sines[g]];
      let [x, y, v, w] = [0, 0, 0, 0];
      for (let n = count - 1; n >= 0; n--) {
        const next = series[n];
        const t = x * a - y * b + next;
        y = x * b + y * a;
        x = t;
        const s = v * c - w * d + next;
        w = v * d + w * c;
        v = s;
      }
      re[f] = x * starts.re[f] - y * starts.im[f];
      im[f] = x * starts.im[f] + y * starts.re[f];
      re[g] = v * starts.re[g] - w * starts.im[g];
      im[g] = v * starts.im[g] + w * starts.re[g];
    }
    return { re, im };
  };
}

/**
 * The drive that sources share, the first one's, and each as a part of it.
 *
 * At these frequencies a pattern is a part alike in all directions, one as the cosine from the axis and one as its square: a point
 * source at the acoustic centre, and its first and second derivatives along the axis, divided by jk once and twice.
 *
 * @param isAir  whether a source can stand at a point
 * @param speedOfSound  metres per second
 * @param by  whose drive is shared, where it isn't the first one's
 * @returns undefined where the first sends out nothing, or one lies in no air
 */
export function emitterOf(
  sources: readonly Source[],
  isAir: (point: Point) => boolean,
  speedOfSound: number,
  by = sources[0],
): Emitter | undefined {
  const centres = sources.map(acousticCentre);
  if (!centres.every(isAir)) return undefined;
  const own = sources.map((source) => drive(source, pulseFrequencies));
  const shared = by === sources[0] ? own[0] : drive(by, pulseFrequencies);
  const power = shared.re.map((x, f) => x * x + shared.im[f] * shared.im[f]);
  const least = 1e-12 * power.reduce((most, p) => Math.max(most, p), 0);
  if (least === 0) return undefined;
  const inverse = {
    re: shared.re.map((x, f) => x / (power[f] + least)),
    im: shared.im.map((y, f) => -y / (power[f] + least)),
  };
  const waveNumbers = pulseFrequencies.map((f) => (2 * Math.PI * f) / speedOfSound);
  const begins = Math.min(...sources.map((s) => s.delay));
  return {
    lead: by.delay - begins,
    sources: sources.flatMap((source, i) => {
      const later = source.delay - begins;
      const { re, im } = own[i];
      multiply({ re, im }, inverse);
      const { alike, cosine, square } = parts(source, waveNumbers);
      const point = centres[i];
      const isRound = [cosine, square].every((part) => part.every((b) => Math.abs(b) < 0.01));
      const part = (real: Float64Array, imaginary: Float64Array) => {
        const relative = { re: re.slice(), im: im.slice() };
        multiply(relative, { re: real, im: imaginary });
        return relative;
      };
      const none = new Float64Array(re.length);
      const { axis } = source;
      const whole = { point, relative: part(alike, none), later };
      if (isRound) return [whole];
      const once = cosine.map((b, f) => -b / waveNumbers[f]);
      const twice = square.map((c, f) => -c / waveNumbers[f] ** 2);
      return [
        whole,
        { point, along: { axis, times: 1 }, relative: part(none, once), later },
        { point, along: { axis, times: 2 }, relative: part(twice, none), later },
      ];
    }),
  };
}

/** A pattern's parts: alike in all directions, as the cosine from the axis, as its square. */
function parts({ pattern, axis, up }: Source, waveNumbers: Float64Array): PatternParts {
  // They follow from the angles to the source's own axes, which way these point does not matter.
  return known(JSON.stringify([pattern, waveNumbers[0]]), () => {
    const toward = (direction: Point) => patternFactors(pattern, { axis, up }, direction, waveNumbers);
    const [front, rear, above, beside] = [axis, scale(axis, -1), up, cross(axis, up)].map(toward);
    const alike = above.map((x, f) => (x + beside[f]) / 2);
    return {
      alike,
      cosine: front.map((x, f) => (x - rear[f]) / 2),
      square: front.map((x, f) => (x + rear[f]) / 2 - alike[f]),
    };
  });
}

interface PatternParts {
  readonly alike: Float64Array;
  readonly cosine: Float64Array;
  readonly square: Float64Array;
}

/** Of the cabinets that sounded last: every group that is asked for asks for theirs. */
const known = latest<PatternParts>(32);
