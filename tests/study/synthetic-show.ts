/**
 * A show in a folder whose truth is a closed form: mains behind a fourth-order highpass and subs behind the lowpass of the same frequency
 * (Linkwitz-Riley, the square of the textbook's Butterworth), each over paths of a gain and a delay, with noise beside them.
 */
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import path from "node:path";
import { fourierTransform } from "../../lib/measurement/spectra/fft";
import { writeWav } from "../../lib/measurement/wav/write";
import { measureShow, type ShowMeasurement } from "../../lib/study/measure";
import { readShow } from "../../lib/study/read-show";
import { white } from "./synthetic-take";

export const RATE = 16000;
export const LENGTH = 2 ** 18;
export const CROSSOVER = 90;

export interface Path {
  readonly through: "mains" | "subs";
  readonly gain: number;
  /** Seconds. */
  readonly delay: number;
}

export interface SyntheticTake {
  readonly playing: "mains" | "subs" | "both";
  readonly recording: string;
  /** Position → what its microphone hears. */
  readonly paths: Readonly<Record<string, readonly Path[]>>;
  /** Standard deviation of the noise, where 1 is what was sent. */
  readonly noise?: number;
  readonly seed?: number;
  /** What is done to each microphone's samples before they are written. */
  readonly change?: (samples: Float64Array, position: string) => Float64Array;
  /** Other keys of the take. */
  readonly more?: object;
  /** What was entered before it, where it is the verification. */
  readonly entered?: object;
}

const box = { size: { width: 0.5, height: 0.5, depth: 0.5 }, level: { "20": 90, "16000": 100 } };
const venue = {
  name: "A yard",
  story: "Nothing but ground.",
  air: { temperature: 20, relativeHumidity: 50 },
  cabinets: {
    top: { ...box, pattern: { kind: "omni" } },
    sub: { ...box, pattern: { kind: "omni" } },
  },
  mains: [{ name: "main", cabinet: "top", top: { x: 0, y: 0, z: 6.25 }, elements: 1 }],
  subs: [{ name: "sub", layout: "single", cabinet: "sub", position: { x: 0, y: 0, z: 0.3 } }],
  audience: [
    { name: "yard", front: { x: 4, width: 20 }, back: { x: 50, width: 20 }, earHeight: 1.2, density: 1 },
  ],
  frontOfHouse: { front: { x: 28, width: 4 }, back: { x: 34, width: 4 }, earHeight: 1.7 },
  positions: [
    { id: "near", point: { x: 8, y: 1, z: 1.2 } },
    { id: "middle", point: { x: 18, y: -1, z: 1.2 } },
    { id: "mix position", point: { x: 31, y: 0, z: 1.7 } },
    { id: "far", point: { x: 45, y: 2, z: 1.2 } },
  ],
};

/** Metres from mains and subs to a position: by Pythagoras, from where the venue above has them. */
export function distances(id: string): { mains: number; subs: number } {
  const { x, y, z } = venue.positions.find((p) => p.id === id)!.point;
  return { mains: Math.hypot(x, y, z - 6), subs: Math.hypot(x, y, z - 0.3) };
}

export const positions = venue.positions.map(({ id }) => id);

/** At each position direct sound, from both after 4 ms of latency, and a reflection. */
export function pathsOf(through: Path["through"], change: Partial<Path> = {}): Record<string, Path[]> {
  return Object.fromEntries(
    positions.map((id) => {
      const away = distances(id)[through];
      const direct = { through, gain: 5 / away, delay: 0.004 + away / C, ...change };
      return [id, [direct, { ...direct, gain: 0.4 * direct.gain, delay: direct.delay + 0.0043 }]];
    }),
  );
}
export const C = 343.2;

/** What is measured in a show of such takes. */
export function measured(takes: readonly SyntheticTake[], more?: object): ShowMeasurement {
  return inShow(takes, (folder) => measureShow(readShow(folder)), more);
}

/** Does something in the folder of such a show, which is removed afterwards. */
export function inShow<T>(takes: readonly SyntheticTake[], work: (folder: string) => T, more?: object): T {
  const folder = syntheticShow(takes, more);
  try {
    return work(folder);
  } finally {
    rmSync(path.dirname(folder), { recursive: true, force: true });
  }
}

function syntheticShow(takes: readonly SyntheticTake[], more: object = {}): string {
  const folder = path.join(mkdtempSync(path.join(tmpdir(), "synthetic-show-")), "show");
  mkdirSync(folder);
  const sent = white(1, LENGTH, 0.1);
  const spectrum = transformed(sent);
  for (const take of takes) {
    const channels = Object.entries(take.paths).map(([position, paths], i) => {
      const clean = heard(spectrum, paths);
      const noise = white((take.seed ?? 1) * 100 + i, LENGTH, 0.1 * (take.noise ?? 1e-3));
      const samples = clean.map((x, n) => x + noise[n]);
      return take.change ? take.change(samples, position) : samples;
    });
    writeWav(path.join(folder, take.recording), {
      sampleRate: RATE,
      channels: [sent, ...channels],
      encoding: "float32",
    });
  }
  const written = ({ recording, paths, more }: SyntheticTake) => ({
    recording,
    reference: 1,
    microphones: Object.fromEntries(Object.keys(paths).map((position, i) => [position, i + 2])),
    ...more,
  });
  const after = takes.filter(({ entered }) => entered);
  const file = {
    name: "Synthetic",
    venue: "venue.json",
    ...more,
    takes: takes.flatMap((take) => (take.entered ? [] : [{ playing: take.playing, ...written(take) }])),
    ...(after.length > 0 && {
      verification: { takes: after.map(written), entered: after[0].entered },
    }),
  };
  writeFileSync(path.join(folder, "show.json"), JSON.stringify(file));
  writeFileSync(path.join(folder, "venue.json"), JSON.stringify(venue));
  return folder;
}

/** H(f) of paths, to the letter: s⁴/(s² + √2 s + 1)² or 1/(s² + √2 s + 1)², times Σ g e^{−jωt}. */
export function closedForm(paths: readonly Path[], f: number): { re: number; im: number } {
  const u = f / CROSSOVER;
  const [a, b] = [1 - u * u, Math.SQRT2 * u];
  const square = (a * a + b * b) ** 2;
  const low = { re: (a * a - b * b) / square, im: (-2 * a * b) / square };
  const sum = { re: 0, im: 0 };
  for (const { through, gain, delay } of paths) {
    const size = gain * (through === "mains" ? u ** 4 : 1);
    const [c, s] = [Math.cos(2 * Math.PI * f * delay), -Math.sin(2 * Math.PI * f * delay)];
    sum.re += size * (low.re * c - low.im * s);
    sum.im += size * (low.re * s + low.im * c);
  }
  return sum;
}

/** Level of the mean of |H|² over log frequency, dB: of one microphone, or of several by power. */
export function trueLevel(points: readonly (readonly Path[])[], from: number, to: number): number {
  const steps = 4000;
  let sum = 0;
  for (let k = 0; k < steps; k++) {
    const f = from * (to / from) ** ((k + 0.5) / steps);
    for (const paths of points) {
      const { re, im } = closedForm(paths, f);
      sum += (re * re + im * im) / points.length;
    }
  }
  return 10 * Math.log10(sum / steps);
}

function transformed(samples: Float64Array) {
  const transform = fourierTransform(LENGTH);
  transform.re.set(samples);
  transform.im.fill(0);
  transform.forward();
  return { re: transform.re.slice(), im: transform.im.slice() };
}

/** One period of what repeats without a seam. */
function heard(spectrum: { re: Float64Array; im: Float64Array }, paths: readonly Path[]): Float64Array {
  const { re, im, inverse } = fourierTransform(LENGTH);
  re.fill(0);
  im.fill(0);
  for (let k = 1; k < LENGTH / 2; k++) {
    const h = closedForm(paths, (k * RATE) / LENGTH);
    re[k] = spectrum.re[k] * h.re - spectrum.im[k] * h.im;
    im[k] = spectrum.re[k] * h.im + spectrum.im[k] * h.re;
    re[LENGTH - k] = re[k];
    im[LENGTH - k] = -im[k];
  }
  inverse();
  return re.slice();
}
