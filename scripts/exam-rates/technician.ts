/**
 * What a careful technician does where a drawing is wrong in one thing and one microphone has a fault: each suspect is held against each
 * microphone, and the pair that leaves least is believed.
 */
import { bandPower, thirdOctaves } from "../../lib/acoustics/bands/bands";
import { power, type Response } from "../../lib/acoustics/response";
import { modelSurvey } from "../../lib/field/model-survey";
import { mainsWithFills } from "../../lib/survey/mains-with-fills";
import { partOfSurvey } from "../../lib/survey/part";
import type { Survey } from "../../lib/survey/survey";
import type { Venue } from "../../lib/venue/venue";

export interface Suspected {
  readonly what: string;
  readonly venue: Venue;
}

export interface Finding {
  /** The venue of the suspect that fits. */
  readonly venue: Venue;
  readonly what: string;
  /** What the sound microphones heard, each under its own name. */
  readonly heard: Survey;
  /** What the model of that venue says at the same positions. */
  readonly model: Survey;
  /** How the subs play relative to that venue: dB, seconds, 1 or −1. */
  readonly played: { readonly gain: number; readonly delay: number; readonly polarity: 1 | -1 };
}

const BANDS = thirdOctaves(31.5, 125);

/**
 * @param settingKnown  the subs' level, delay and polarity are as the drawing has them: phases are compared as well
 * @param predicted  the model of a suspect at the measured positions; kept by the caller, for it takes long
 */
export function investigate(
  suspects: readonly Suspected[],
  heard: Survey,
  settingKnown: boolean,
  predicted: (venue: Venue) => Survey = (venue) => modelSurvey(venue, heard.positions),
): Finding {
  const count = heard.positions.length;
  const noisy = heard.subs.map((r) => medianCoherence(r) < 0.6);
  const levels = heard.subs.map(levelsOf);
  const middles = heard.mains.map(midLevel);
  const same = Array.from({ length: count }, (_, i) => i);
  const hypotheses: { readonly from: readonly number[]; readonly rows: readonly number[] }[] = [
    ...same.map((out) => ({ from: same, rows: same.filter((i) => i !== out && !noisy[i]) })),
    ...same.map((i) => {
      const j = (i + 1) % count;
      return { from: same.map((k) => (k === i ? j : k === j ? i : k)), rows: same.filter((k) => !noisy[k]) };
    }),
  ];
  let best = { left: Number.POSITIVE_INFINITY, suspect: suspects[0], hypothesis: hypotheses[0] };
  for (const suspect of suspects) {
    const { subs, mains } = predicted(suspect.venue);
    const there = subs.map(levelsOf);
    const middle = mains.map(midLevel);
    for (const { from, rows } of hypotheses) {
      if (rows.length < 2) continue;
      const low = settingKnown
        ? rootMeanSquare(rows.map((i) => Math.min(2, residual(heard.subs[from[i]], subs[i]))))
        : shapeLeft(rows.map((i) => levels[from[i]].map((x, b) => x - there[i][b])));
      // What hangs on walls is heard in the middle of the mains.
      const mid = rootMeanSquare(rows.map((i) => Math.min(6, Math.abs(middles[from[i]] - middle[i]))));
      const left = low + mid * (settingKnown ? 0.02 : 0.2);
      const hypothesis = { from, rows };
      // Of two that fit alike, the one that leaves no microphone out.
      if (left * (hypothesis.rows.length < count ? 1 : 0.95) < best.left - 1e-9)
        best = { left, suspect, hypothesis };
    }
  }
  const { rows, from } = best.hypothesis;
  const pick = <T>(list: readonly T[]) => from.map((i) => list[i]);
  const named: Survey = {
    ...heard,
    mains: pick(heard.mains),
    subs: pick(heard.subs),
    ...(heard.fills ? { fills: pick(heard.fills) } : {}),
  };
  const own = partOfSurvey(named, rows);
  const model = partOfSurvey(predicted(best.suspect.venue), rows);
  return {
    venue: best.suspect.venue,
    what: best.suspect.what,
    heard: own,
    model,
    played: playedOf(own, model),
  };
}

const rootMeanSquare = (list: readonly number[]): number =>
  Math.sqrt(list.reduce((s, x) => s + x * x, 0) / list.length);

/** What levels differ by, dB, when one shift for all is taken out. */
function shapeLeft(away: readonly (readonly number[])[]): number {
  const all = away.flat().sort((a, b) => a - b);
  const shift = all[Math.floor(all.length / 2)];
  return rootMeanSquare(all.map((x) => Math.min(12, Math.abs(x - shift))));
}

/** What is left of a response in the low band when another is taken off, as a fraction of that other. */
function residual({ frequency, re, im }: Response, other: Response): number {
  let [left, whole] = [0, 1e-30];
  frequency.forEach((f, k) => {
    if (f < 25 || f > 125) return;
    left += (re[k] - other.re[k]) ** 2 + (im[k] - other.im[k]) ** 2;
    whole += other.re[k] ** 2 + other.im[k] ** 2;
  });
  return Math.sqrt(left / whole);
}

const levelsOf = (response: Response): number[] => {
  const all = power(response);
  return BANDS.map(
    (band) => 10 * Math.log10(bandPower(response.frequency, all, band.lower, band.upper) + 1e-30),
  );
};

/** Level of the mains from 500 Hz to 2 kHz with what the room adds, dB. */
function midLevel(response: Response): number {
  const all = power(response);
  const bands = thirdOctaves(500, 2000).map(({ lower, upper }) =>
    bandPower(response.frequency, all, lower, upper),
  );
  return 10 * Math.log10(bands.reduce((sum, p) => sum + p, 1e-30));
}

function medianCoherence({ frequency, coherence }: Response): number {
  const within = [...frequency.keys()].filter((k) => frequency[k] > 30 && frequency[k] < 140);
  const sorted = within.map((k) => coherence?.[k] ?? 1).sort((a, b) => a - b);
  return sorted[Math.floor(sorted.length / 2)];
}

/** Level, delay and polarity by which measured subs differ from a model's, relative to the mains. */
function playedOf(heard: Survey, model: Survey): Finding["played"] {
  const { frequency } = heard;
  const away = heard.subs.flatMap((r, i) => {
    const there = levelsOf(model.subs[i]);
    return levelsOf(r).map((x, b) => x - there[b]);
  });
  away.sort((a, b) => a - b);
  const cross = (a: Response, b: Response, from: number, to: number) =>
    [...frequency.keys()].flatMap((k) =>
      frequency[k] >= from && frequency[k] <= to
        ? [
            {
              w: 2 * Math.PI * frequency[k],
              re: a.re[k] * b.re[k] + a.im[k] * b.im[k],
              im: a.im[k] * b.re[k] - a.re[k] * b.im[k],
            },
          ]
        : [],
    );
  const agreement = (parts: ReturnType<typeof cross>, delay: number) =>
    parts.reduce((s, { w, re, im }) => s + re * Math.cos(w * delay) - im * Math.sin(w * delay), 0);
  const rows = heard.positions.map((_, i) => {
    const mains = cross(mainsWithFills(heard, i), mainsWithFills(model, i), 60, 500);
    let arrival = 0;
    for (let n = -100; n <= 100; n++)
      if (agreement(mains, n * 1e-4) > agreement(mains, arrival)) arrival = n * 1e-4;
    const subs = cross(heard.subs[i], model.subs[i], 28, 125);
    const whole = subs.reduce((s, { re, im }) => s + Math.hypot(re, im), 1e-30);
    return { arrival, subs, whole };
  });
  let best = { size: 0, delay: 0, polarity: 1 as 1 | -1 };
  for (let n = -120; n <= 120; n++) {
    const delay = n * 1e-4;
    const sum = rows.reduce((s, r) => s + agreement(r.subs, r.arrival + delay) / r.whole, 0);
    if (Math.abs(sum) > best.size) best = { size: Math.abs(sum), delay, polarity: sum > 0 ? 1 : -1 };
  }
  return { gain: away[Math.floor(away.length / 2)], delay: best.delay, polarity: best.polarity };
}
