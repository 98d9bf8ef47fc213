/**
 * Does each take hold what its label says? Mains have treble, subs have none, and what plays alone isn't heard in the other.
 */
import { power, type Response } from "../../acoustics/response";
import { median } from "../../numeric/statistics";
import { logWidths } from "../transfer/log-width";

/** What was measured at one position. */
export interface Pair {
  readonly mains: Response;
  readonly subs: Response;
}

/** Hertz. Loudspeakers of all sizes play the first, and of these two only mains the second. */
const LOW = { from: 125, to: 250 };
const TREBLE = { from: 1250, to: 4000 };
/** Below any crossover to subs, hertz, and above it. */
const BASS = { from: 35, to: 65 };
const MIDDLE = { from: 250, to: 2000 };

/**
 * What plays where it should not, or does not where it should: one sentence each.
 *
 * @param pairs  mains and subs at each position, on the same frequencies at each
 * @returns nothing where all is as it is labelled, or frequencies are missing that would tell
 * @source own way, no outside source; check: tests/measurement/health/what-plays.test.ts
 */
export function whatPlays(pairs: readonly Pair[]): string[] {
  const typical = (value: (pair: Pair) => number | undefined): number | undefined => {
    const values = pairs.flatMap((pair) => value(pair) ?? []);
    return values.length ? median(values) : undefined;
  };
  const over = (part: "mains" | "subs", band: Span) => (pair: Pair) => levelIn(pair[part], band);
  const difference = (a: (pair: Pair) => number | undefined, b: (pair: Pair) => number | undefined) =>
    typical((pair) => {
      const [x, y] = [a(pair), b(pair)];
      return x === undefined || y === undefined ? undefined : x - y;
    });
  const mainsSlope = difference(over("mains", TREBLE), over("mains", LOW));
  const subsTreble = difference(over("subs", TREBLE), over("mains", TREBLE));
  const bassOfMains = difference(over("mains", BASS), over("subs", BASS));
  const heard = typical((pair) => excessCoherence(pair.subs, TREBLE)) ?? 0;
  if (subsTreble !== undefined && bassOfMains !== undefined && subsTreble > 6 && bassOfMains > 3)
    return [
      "the takes of mains and subs are likely swapped: that of the subs has the treble and that of the mains the bass; compare the files",
    ];
  const found: string[] = [];
  if (mainsSlope !== undefined && mainsSlope < NO_TREBLE)
    found.push(
      `the mains have hardly any treble, ${(-mainsSlope).toFixed(0)} dB less at ${TREBLE.from} to ${TREBLE.to} Hz than at ${LOW.from} to ${LOW.to} Hz; check that they played whole, and filters and files`,
    );
  const leftOn = (loud: Span, softer = -1.5) => {
    const alike = pairs.filter((pair) => areOne(pair.mains, pair.subs, loud, softer)).length;
    return alike >= 2 && alike >= 0.6 * pairs.length;
  };
  // Turned down or up they are the mains all the same: subs of their own have no such treble.
  if (subsTreble !== undefined && subsTreble > -12 && leftOn(MIDDLE, -12))
    found.push(
      "in the take of the subs the mains are heard as in their own: they were likely left on; mute them and measure the subs again",
    );
  else if (subsTreble !== undefined && subsTreble > -12 && heard > 0.03)
    found.push(
      `the subs have treble, ${Math.abs(subsTreble).toFixed(0)} dB ${subsTreble < 0 ? "below" : "above"} that of the mains at ${TREBLE.from} to ${TREBLE.to} Hz; check their lowpass, and whether something else played with them`,
    );
  if (leftOn(BASS))
    found.push(
      "in the take of the mains the subs are heard as in their own: they were likely left on; mute them and measure the mains again",
    );
  return found;
}

const NO_TREBLE = -15; // dB

type Span = { readonly from: number; readonly to: number };

const within = ({ frequency }: Response, { from, to }: Span): number[] =>
  [...frequency.keys()].filter((i) => frequency[i] >= from && frequency[i] <= to);

/** Mean level over log frequency, dB; undefined where the response doesn't reach, or is silent. */
function levelIn(response: Response, span: Span): number | undefined {
  const { frequency } = response;
  if (frequency[0] > span.from || frequency[frequency.length - 1] < span.to) return undefined;
  const square = power(response);
  const width = logWidths(frequency);
  let [sum, total] = [0, 0];
  for (const i of within(response, span)) {
    sum += width[i] * square[i];
    total += width[i];
  }
  return sum > 0 ? 10 * Math.log10(sum / total) : undefined;
}

/** Mean coherence beyond what so few averages have of unrelated signals. */
function excessCoherence(response: Response, span: Span): number | undefined {
  const { coherence, averages } = response;
  const used = within(response, span);
  if (!coherence || used.length === 0) return coherence ? undefined : 1;
  return used.reduce((sum, i) => sum + coherence[i] - 1 / Math.max(1, averages?.[i] ?? 16), 0) / used.length;
}

/** Whether two responses are the same within the span: alike in shape (0.9 of the power), the second neither 1.5 dB louder nor softer than that. */
function areOne(a: Response, b: Response, span: Span, softer: number): boolean {
  if (a.magnitudeOnly || b.magnitudeOnly) return false;
  let [aa, bb, re, im] = [0, 0, 0, 0];
  for (const i of within(a, span)) {
    aa += a.re[i] ** 2 + a.im[i] ** 2;
    bb += b.re[i] ** 2 + b.im[i] ** 2;
    re += a.re[i] * b.re[i] + a.im[i] * b.im[i];
    im += a.im[i] * b.re[i] - a.re[i] * b.im[i];
  }
  const ratio = 10 * Math.log10(aa / bb);
  return (
    re > 0 && re * re + im * im > 0.9 * aa * bb && -ratio > softer && -ratio < Math.max(1.5, -softer / 2)
  );
}
