/**
 * The likeliest single cause of a result that is not what was predicted.
 *
 * Each thing that may be wrong is tried, and judged by how well mains and subs, changed so, fit what was recorded at all positions. What
 * can't be computed, such as a cabinet that fell silent, is tried as a part of the evidence that fits nothing.
 */
import { minimise } from "../../numeric/search";
import { median } from "../../numeric/statistics";
import type { Entered } from "./entered";
import { amountOf, differenceIn, type Evidence, type Misfit, misfitAt, sumOf } from "./misfit";
import { changed, type Played, playedAs } from "./played";
import type { VerificationCause } from "./result";
import { offBy, slips } from "./trials";
import { cabinetsLike, departedPosition, swappedPositions, unlikeMains, unlikeSubs } from "./unlike";

export interface Diagnosis {
  /** By how much everything is louder, dB. */
  readonly louder_db: number;
  /** The likeliest first. */
  readonly causes: readonly VerificationCause[];
  /** Whether what is left unexplained is within the error. */
  readonly isExplained: boolean;
}

interface Tried {
  /** Absent where no value explains it. */
  readonly played?: Played;
  readonly score: number;
  readonly misfit: number;
  readonly louder_db: number;
  readonly causes: readonly VerificationCause[];
}

/** A value of which nothing is foretold counts as if it were two standard errors off. */
const FORETOLD_NOT = 4;
/** What a value that was chosen to fit must gain at least. */
const CHOSEN = 4;
/** Less than this apart, and two causes fit alike. */
const ALIKE = 8;
/** Mean square of a residual over its error that is still one. */
const WITHIN_ERROR = 2;
/** Less of all is no more than what is seldom set alike, dB. */
const LOUDER = 0.5;

/** @param cabinets  of the subs */
export function diagnose(all: readonly Evidence[], entered: Entered, cabinets: number): Diagnosis {
  const amounts = all.map(amountOf);
  const amount = amounts.reduce((sum, { low, mid }) => sum + low + mid, 0);
  const whole = playedAs(entered);
  const asEntered = tried(all, whole, 0, [], 0);
  const scale = (best: number) => Math.max(1, best / Math.max(1, amount));
  const none = (misfit: number) => ({
    louder_db: 0,
    causes: [],
    isExplained: misfit <= WITHIN_ERROR * amount,
  });
  if (asEntered.misfit <= FITS * amount) return none(asEntered.misfit);
  const louder_db = commonLevel(all, entered);
  const louderAlone = tried(all, whole, louder_db, [], CHOSEN);
  const simple = [asEntered, louderAlone, ...changes(all, entered, 0, 0)];
  const known = best(simple);
  // Beside a master level that was changed there may be a fault, but only if no fault explains it by itself.
  if (known.misfit > WITHIN_ERROR * amount && Math.abs(louder_db) > LOUDER)
    simple.push(...changes(all, entered, louder_db, CHOSEN));
  const partly = partial(all, entered, cabinets, 0);
  const list = [...simple, ...partly].sort((a, b) => a.score - b.score);
  const [first] = list;
  const apart = ALIKE * scale(first.misfit);
  if (first.causes.length === 0) return { ...none(first.misfit), louder_db: first.louder_db };
  if (asEntered.score - first.score < 2 * apart) return none(asEntered.misfit);
  if (first.score > FORETOLD_NOT * amount) return { louder_db: 0, causes: [], isExplained: false };
  const alike = list.filter(({ score, causes }) => causes.length > 0 && score - first.score < apart);
  const causes = distinct(alike).flatMap((one) => [...one.causes, ...cabinetsLike(one.causes, cabinets)]);
  return { louder_db: first.louder_db, causes, isExplained: true };
}

/** A mean square that leaves nothing to look for. */
const FITS = 1;

const best = (list: readonly Tried[]): Tried => list.reduce((a, b) => (b.score < a.score ? b : a));

function tried(
  all: readonly Evidence[],
  played: Played,
  louder_db: number,
  causes: readonly VerificationCause[],
  cost: number,
): Tried {
  const misfit = all.reduce((sum, each) => sum + sumOf(misfitAt(each, played, 10 ** (louder_db / 20))), 0);
  return { played, score: misfit + cost, misfit, louder_db, causes };
}

/** Everything that one group may do otherwise at all positions. */
function changes(all: readonly Evidence[], entered: Entered, louder_db: number, cost: number): Tried[] {
  const sum = (played: Played) => tried(all, played, louder_db, [], 0).misfit;
  return [
    ...slips(entered).map(({ played, cause }) => tried(all, played, louder_db, [cause], cost)),
    ...offBy(entered).flatMap(({ from, to, step, least, played, cause }) => {
      const { x } = minimise((value) => sum(played(value)), from, to, step, 0.01);
      return Math.abs(x) < least ? [] : [tried(all, played(x), louder_db, [cause(x)], cost + CHOSEN)];
    }),
  ];
}

/** What no value explains: one position departs, or a part of a group is missing. */
function partial(all: readonly Evidence[], entered: Entered, cabinets: number, louder_db: number): Tried[] {
  const whole = playedAs(entered);
  const fits = all.map((each) => misfitAt(each, whole, 10 ** (louder_db / 20)));
  const without = (
    spared: (misfit: Misfit, each: Evidence, i: number) => number,
    cause: VerificationCause | undefined,
  ) => {
    if (!cause) return [];
    const misfit = fits.reduce((sum, fit, i) => sum + spared(fit, all[i], i), 0);
    return [{ score: misfit + CHOSEN, misfit, louder_db, causes: [cause] }];
  };
  const positions = all.flatMap((departing, k) =>
    all.length < 3
      ? []
      : without((fit, each, i) => (i === k ? spare(each) : sumOf(fit)), departedPosition(departing, whole)),
  );
  const swapped = all.flatMap((a, i) =>
    all.slice(i + 1).map((b) => {
      const exchanged = all.map((each) => (each === a ? heardBy(a, b) : each === b ? heardBy(b, a) : each));
      return tried(exchanged, whole, louder_db, [swappedPositions(a, b)], CHOSEN);
    }),
  );
  return [
    ...positions,
    ...(all.length > 2 ? swapped : []),
    ...without(
      (fit, each) => fit.mid + sparedLow(each, fit, whole, "subs"),
      unlikeSubs(all, whole, cabinets),
    ),
    ...equalised(all, fits, louder_db, unlikeMains(all, entered.mains.level_db)),
    ...without(
      (fit, each) => FORETOLD_NOT * each.mid.length + sparedLow(each, fit, whole, "mains"),
      unlikeMains(all, entered.mains.level_db),
    ),
  ];
}

/** Bands of the mains that play otherwise at all positions alike. */
function equalised(
  all: readonly Evidence[],
  fits: readonly Misfit[],
  louder_db: number,
  cause: VerificationCause | undefined,
): Tried[] {
  const told = all.filter(({ mid }) => mid.length > 0);
  if (!cause || told.length < 3) return [];
  const bands = told[0].mid.map((_, k) => median(told.map(({ mid }) => differenceIn(mid[k]))));
  const inMid = told.reduce(
    (sum, { mid }) =>
      sum + mid.reduce((rest, band, k) => rest + ((differenceIn(band) - bands[k]) / band.error) ** 2, 0),
    0,
  );
  const misfit = fits.reduce((sum, { low }) => sum + low.reduce((a, b) => a + b, 0), inMid);
  return [{ score: misfit + CHOSEN * bands.length, misfit, louder_db, causes: [cause] }];
}

function spare(each: Evidence): number {
  const { low, mid } = amountOf(each);
  return FORETOLD_NOT * (low + mid);
}

/** Low frequencies without those at which a group matters. */
function sparedLow({ low }: Evidence, fit: Misfit, whole: Played, group: "mains" | "subs"): number {
  const [m, s] = [changed(low.mains, whole.mains), changed(low.subs, whole.subs)];
  const [own, other] = group === "subs" ? [s, m] : [m, s];
  return fit.low.reduce((sum, square, i) => {
    const matters = Math.hypot(own.re[i], own.im[i]) > MATTERS * Math.hypot(other.re[i], other.im[i]);
    return sum + (matters ? FORETOLD_NOT * low.weight[i] : square);
  }, 0);
}

/** Less than this of the other one's amplitude changes no level by a decibel. */
const MATTERS = 0.1;

/** What one microphone recorded, held against what was measured at another position. */
function heardBy(recorded: Evidence, at: Evidence): Evidence {
  return {
    ...at,
    low: { ...at.low, recorded: recorded.low.recorded },
    mid: at.mid.map((band, i) => ({ ...band, recorded: recorded.mid[i].recorded })),
    ...(recorded.later !== undefined && { later: recorded.later }),
    atAnyTime: true,
  };
}

/** By how much the mid band is louder everywhere, dB. */
function commonLevel(all: readonly Evidence[], { mains }: Entered): number {
  const each = all.flatMap(({ mid }) => (mid.length ? [median(mid.map(differenceIn))] : []));
  return each.length ? median(each) - mains.level_db : 0;
}

/** Without those that are another one by its name. */
function distinct(list: readonly Tried[]): Tried[] {
  const isSame = (a: Played, b: Played) =>
    (["mains", "subs"] as const).every(
      (group) =>
        Math.abs(a[group].gain - b[group].gain) < 0.06 * Math.abs(b[group].gain) &&
        Math.abs(a[group].delay - b[group].delay) < 3e-4,
    );
  const bySimplicity = [...list].sort((a, b) => Number(hasValue(a)) - Number(hasValue(b)));
  return list.filter((one) => {
    const { played } = one;
    if (!played) return true;
    return !bySimplicity
      .slice(0, bySimplicity.indexOf(one))
      .some((other) => other.played && other.louder_db === one.louder_db && isSame(other.played, played));
  });
}

const hasValue = ({ causes }: Tried) =>
  causes.some(({ level_db, delay_ms }) => level_db !== undefined || delay_ms !== undefined);
