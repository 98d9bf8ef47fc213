/** What differs from position to position: a microphone, two that are swapped, a part of the subs or of the mains. */

import { delayFactor } from "../../numeric/complexes";
import { minimise } from "../../numeric/search";
import { median } from "../../numeric/statistics";
import { signedDecibels } from "../../text/decibels";
import { amountOf, differenceIn, type Evidence, misfitAt, sumOf } from "./misfit";
import { changed, type Played } from "./played";
import type { VerificationCause } from "./result";
import { causeWords } from "./words";

/** What is odd about the one position that departs. */
export function departedPosition(evidence: Evidence, whole: Played): VerificationCause {
  const { position, mid, later } = evidence;
  const named = (message: string, level_db?: number): VerificationCause => ({
    kind: "one position",
    positions: [position],
    ...(level_db !== undefined && { level_db }),
    message: causeWords["one position"](message),
  });
  const { low, mid: bands } = amountOf(evidence);
  const misfit = (louder: number) => sumOf(misfitAt(evidence, whole, louder));
  const fits = (sum: number) => sum < 2 * (low + bands);
  const start = `Position "${position}" alone departs:`;
  const level = mid.length
    ? median(mid.map(differenceIn)) - 20 * Math.log10(Math.abs(whole.mains.gain) || 1)
    : 0;
  if (level < DEAF)
    return named(`${start} its microphone hears hardly anything. Check its cable and its input.`, level);
  const gain = minimise((x) => misfit(10 ** (x / 20)), -20, 20, 0.5, 0.01);
  if (fits(gain.cost))
    return named(
      `${start} its microphone reads ${signedDecibels(gain.x)} relative to the others. Its gain was changed: set it back, or match the microphones again.`,
      gain.x,
    );
  if (fits(misfit(-1)))
    return named(`${start} its microphone is inverted. Compare its cable and input with before.`);
  const rest = (later ?? 0) - whole.mains.delay;
  return named(
    Math.abs(rest) > 3e-4
      ? `${start} the mains arrive there ${Math.abs(1000 * rest).toFixed(1)} ms ${rest > 0 ? "later" : "earlier"} than before. Its microphone has moved by some ${Math.abs(343 * rest).toFixed(1)} m or more: put it back.`
      : `${start} its microphone has likely moved. Put it back, or look for what stands in its way.`,
  );
}

const DEAF = -15; // dB

export function swappedPositions({ position: a }: Evidence, { position: b }: Evidence): VerificationCause {
  return {
    kind: "positions swapped",
    positions: [a, b],
    message: causeWords["positions swapped"](`"${a}" and "${b}"`),
  };
}

/** Where subs play otherwise at several positions, each in its own way; what is left of them tells how many cabinets do. */
export function unlikeSubs(
  all: readonly Evidence[],
  whole: Played,
  cabinets: number,
): VerificationCause | undefined {
  const left = all.flatMap((each) => projected(each, whole));
  if (left.length < 2) return undefined;
  const share = median(left);
  return {
    kind: "part of the subs",
    message: causeWords["part of the subs"](
      `The subs play otherwise at each position, as no level, delay or polarity explains: ${partWords(share, cabinets)}.`,
    ),
  };
}

/** A change of level that so many silent or inverted cabinets would make, where all of them are heard alike. */
export function cabinetsLike(causes: readonly VerificationCause[], cabinets: number): VerificationCause[] {
  return causes.flatMap(({ kind, level_db = 0 }) => {
    if (kind !== "level of the subs" || level_db > -1 || cabinets < 2) return [];
    const { silent, inverted } = missing(10 ** (level_db / 20), cabinets, 0.08);
    if (!silent && !inverted) return [];
    return [
      {
        kind: "part of the subs" as const,
        message: causeWords["part of the subs"](
          `Or a part of the subs is missing: ${partWords(10 ** (level_db / 20), cabinets)}.`,
        ),
      },
    ];
  });
}

/** Of so many cabinets, how many silent or inverted ones leave so much of the sum. */
function missing(share: number, cabinets: number, tolerance: number) {
  const gone = cabinets * (1 - share);
  const [silent, inverted] = [Math.round(gone), Math.round(gone / 2)];
  return {
    silent: silent > 0 && silent < cabinets && Math.abs(gone - silent) < tolerance * cabinets ? silent : 0,
    inverted:
      inverted > 0 && inverted < cabinets && Math.abs(gone / 2 - inverted) < 0.5 * tolerance * cabinets
        ? inverted
        : 0,
  };
}

function partWords(share: number, cabinets: number): string {
  const { silent, inverted } = missing(share, cabinets, 0.3);
  const number = (n: number, what: string) =>
    `${n} of the ${cabinets} cabinets ${n > 1 ? "are" : "is"} ${what}`;
  const told = [
    ...(silent ? [number(silent, "silent")] : []),
    ...(inverted ? [number(inverted, "inverted")] : []),
  ];
  return told.length ? `likely ${told.join(", or ")}` : "some cabinets are silent, inverted or delayed";
}

/** What of the subs is left at a position: 1 where they play as they should, 0.5 where half of them are silent. */
function projected({ low, later }: Evidence, whole: Played): number[] {
  const { frequency, weight, recorded } = low;
  const [mains, subs] = [changed(low.mains, whole.mains), changed(low.subs, whole.subs)];
  const rest = (later ?? 0) - whole.mains.delay;
  const back = delayFactor(frequency, Math.abs(rest) < 2e-3 ? -rest : 0);
  let [both, own] = [0, 0];
  for (let i = 0; i < frequency.length; i++) {
    const size = subs.re[i] ** 2 + subs.im[i] ** 2;
    if (weight[i] === 0 || size < mains.re[i] ** 2 + mains.im[i] ** 2) continue;
    const re = recorded.re[i] * back.re[i] - recorded.im[i] * back.im[i] - mains.re[i];
    const im = recorded.re[i] * back.im[i] + recorded.im[i] * back.re[i] - mains.im[i];
    // Each frequency counts alike, however loud.
    both += (re * subs.re[i] + im * subs.im[i]) / size;
    own += 1;
  }
  return own > 5 ? [both / own] : [];
}

/** Where the mains play otherwise: in some bands at all positions alike, or at each in its own way. */
export function unlikeMains(all: readonly Evidence[], level_db: number): VerificationCause | undefined {
  const told = all.filter(({ mid }) => mid.length > 0);
  const departing = told.filter(({ mid }) =>
    mid.some((band) => Math.abs(differenceIn(band) - level_db) > 3 * band.error),
  );
  if (departing.length < 2) return undefined;
  const bands = told[0].mid.map(({ frequency }, k) => {
    const differences = told.map(({ mid }) => differenceIn(mid[k]) - level_db);
    const middle = median(differences);
    return { frequency, middle, apart: median(differences.map((x) => Math.abs(x - middle))) };
  });
  const isAlike = median(bands.map(({ apart }) => apart)) < 0.7;
  const most = bands.reduce((a, b) => (Math.abs(b.middle) > Math.abs(a.middle) ? b : a));
  return {
    kind: "mains",
    message: causeWords.mains(
      isAlike
        ? `The mains play otherwise than measured, at all positions alike: by up to ${signedDecibels(most.middle)}, at ${most.frequency} Hz.`
        : "The mains play otherwise than measured, at each position in its own way: a part of them is silent, turned away or changed.",
    ),
  };
}
