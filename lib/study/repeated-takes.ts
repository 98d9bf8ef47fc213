/** Several takes of one part at one position: averaged, without those that fit none of the others or are much noisier. */
import { later, partOfResponse, power, type Response } from "../acoustics/response";
import { listed } from "../text/listed";
import { bestShift } from "./common-time";
import { LOW_BAND, levelWithError, MID_BAND, type Span } from "./level-with-error";
import type { Playing } from "./measure-take";
import type { InTime } from "./relate-phases";

/** What one take says of one part at one position. */
export interface HeardInTake {
  readonly recording: string;
  readonly response: Response;
  /** Whether it keeps its phase to the mains. */
  readonly inTime: InTime;
  /** Whether its recording is clipped, or has gaps. */
  readonly damaged: boolean;
}

/** Where each part tells, and how far its takes may lie apart in time, seconds. */
const TELLS: Readonly<Record<Playing, { readonly bands: readonly Span[]; readonly apart: number }>> = {
  mains: { bands: [MID_BAND], apart: 0.003 },
  both: { bands: [LOW_BAND, MID_BAND], apart: 0.003 },
  subs: { bands: [LOW_BAND], apart: 0.02 },
};

/** Gains set again, air that moved, dB, beside the errors of measurement. Own way, no source. */
const SETTING = 0.17;
/** A take whose error is this many times that of the best, and more than SETTING, adds nothing. */
const NOISIER = 3;
/** Seconds between takes that are told. */
const LATE = 3e-4;

/**
 * One response of all takes of a part at a position.
 *
 * Takes are brought to the time of the first, and averaged at each frequency by their errors: what is coherent as complex numbers,
 * the whole by power. The error is the mean of theirs and no smaller for their number, since the same signal leaves out the same of
 * a room each time.
 *
 * @param told  is added to
 */
export function ofRepeats(
  position: string,
  playing: Playing,
  takes: readonly HeardInTake[],
  told: ToldOfRepeats,
): HeardInTake {
  if (takes.length === 1) return takes[0];
  const tell = (text: string, figure = 0) => {
    const before = told.get(text);
    const most = Math.max(figure, before?.most ?? 0);
    told.set(text, { positions: [...(before?.positions ?? []), position], most });
  };
  const certain = [true, "roughly" as const, false].find((known) => takes.some((t) => t.inTime === known))!;
  const length = Math.min(...takes.map((t) => t.response.frequency.length));
  // A take at a lower sample rate reaches less high, on the same grid.
  let kept = takes.map((t) => ({ ...t, response: partOfResponse(t.response, 0, length) }));
  const leave = (take: HeardInTake, why: string, figure?: number) => {
    tell(`recording "${take.recording}" is left out of ${PART[playing]} at ${AT}: ${why}`, figure);
    kept = kept.filter((other) => other !== take);
  };
  for (const take of kept)
    if (take.inTime !== certain) leave(take, "it shares no time base with the take that is used");
  if (kept.some((take) => !take.damaged))
    for (const take of kept) if (take.damaged) leave(take, "it is clipped or has gaps there");
  for (let odd = oddOne(kept, playing); odd; odd = oddOne(kept, playing))
    leave(odd.take, odd.why, odd.figure);
  const errors = kept.map((take) => [take, errorIn(take, playing)] as const);
  const least = Math.min(...errors.map(([, error]) => error));
  for (const [take, error] of errors)
    if (error > Math.max(SETTING, NOISIER * least))
      leave(
        take,
        `noise leaves its level uncertain by ${FIGURE} dB, another take by less than a third`,
        error,
      );
  const [first, ...others] = kept;
  if (others.length === 0) return first;
  const shifts = others.map((take) => likeness(take.response, first.response, playing).shift);
  const together = shifts.some((shift) => Math.abs(shift) > LATE) ? ", brought to one time" : "";
  tell(
    `${PART[playing]} at ${AT} are the average of ${kept.length} takes, ${listed(kept.map((t) => t.recording))}${together}`,
  );
  const responses = [first.response, ...others.map((take, i) => later(take.response, shifts[i]))];
  return { ...first, response: averaged(responses) };
}

/** What is told of repeated takes, with the positions it is told of. */
export type ToldOfRepeats = Map<string, { readonly positions: readonly string[]; readonly most: number }>;

/** Each thing that was told, once for all of its positions. */
export const sentencesOf = (told: ToldOfRepeats): string[] =>
  [...told].map(([text, { positions, most }]) =>
    text
      .replace(AT, listed(positions))
      .replace(FIGURE, `${positions.length > 1 ? "up to " : ""}${most.toFixed(1)}`),
  );

// Where the positions and the largest figure come in.
const AT = "{positions}";
const FIGURE = "{figure}";

const PART: Readonly<Record<Playing, string>> = {
  mains: "mains",
  subs: "subs",
  both: "mains and subs together",
};

/** The take that fits the others least, where one doesn't. */
function oddOne(
  takes: readonly HeardInTake[],
  playing: Playing,
): { take: HeardInTake; why: string; figure?: number } | undefined {
  const differences = takes.map((take) =>
    takes.flatMap((other) => (other === take ? [] : (difference(take, other, playing) ?? []))),
  );
  const most = Math.max(...differences.map((d) => d.length));
  if (most === 0) return undefined;
  const odd = takes
    .filter((_, i) => differences[i].length === most)
    .sort((a, b) => errorIn(b, playing) - errorIn(a, playing));
  const [take] = odd;
  const others = takes.filter((t) => t !== take).map((t) => t.recording);
  const doubt =
    odd.length > 1
      ? "; which of them is wrong can't be told, and the one with the smaller error is used"
      : "";
  const [{ what, figure }] = differences[takes.indexOf(take)];
  return {
    take,
    ...(figure !== undefined && { figure }),
    why: `${what} than their errors allow, compared with ${listed(others)}${doubt}; measure again`,
  };
}

/** What two takes don't agree on, for "… than their errors allow"; nothing where they agree. */
function difference(
  a: HeardInTake,
  b: HeardInTake,
  playing: Playing,
): { what: string; figure?: number } | undefined {
  for (const band of TELLS[playing].bands) {
    const [x, y] = [levelWithError(a.response, band), levelWithError(b.response, band)];
    const apart = Math.abs(x.level - y.level);
    if (apart > 3 * Math.hypot(x.error ?? 0, y.error ?? 0, SETTING))
      return { what: `their level differs by ${FIGURE} dB, more`, figure: apart };
  }
  const same = likeness(a.response, b.response, playing);
  if (same.inverted) return { what: "their polarity differs, which is more" };
  return same.likeness < 0.5 ? { what: "their phase differs more" } : undefined;
}

/** By how much the first is to be made later to be most like the second, and how like they are then, 0…1. */
function likeness(a: Response, b: Response, playing: Playing) {
  const { bands, apart } = TELLS[playing];
  const [from, to] = bands[bands.length - 1];
  const start = a.frequency.findIndex((f) => f >= from);
  const beyond = a.frequency.findIndex((f) => f > to);
  const end = beyond < 0 ? a.frequency.length : beyond;
  const pick = ({ re, im }: Response, sign = 1) => ({
    re: re.slice(start, end).map((x) => sign * x),
    im: im.slice(start, end).map((x) => sign * x),
  });
  const frequency = a.frequency.slice(start, end);
  const target = pick(b);
  const shifted = (sign: number) => {
    const source = pick(a, sign);
    // A tenth of the shortest period.
    return bestShift([{ frequency, source, target }], apart, 0.1 / to);
  };
  const [same, other] = [shifted(1), shifted(-1)];
  const { shift, likeness } = same ?? { shift: 0, likeness: 0 };
  return { shift, likeness, inverted: (other?.likeness ?? 0) > likeness + 0.1 };
}

/** Standard error of the level where the part tells, dB. */
const errorIn = ({ response }: HeardInTake, playing: Playing): number =>
  Math.max(...TELLS[playing].bands.map((band) => levelWithError(response, band).error ?? 0));

/** Weighted by errors that are smoothed over a third octave, lest what happens to be soft counts for more. */
function averaged(responses: readonly Response[]): Response {
  const weights = normalised(responses.map((response) => smoothed(response).map((square) => 1 / square)));
  const mean = (of: (response: Response) => Float64Array) => {
    const all = responses.map(of);
    return all[0].map((_, i) => all.reduce((sum, values, r) => sum + weights[r][i] * values[i], 0));
  };
  const re = mean((r) => r.re);
  const im = mean((r) => r.im);
  const optional = (key: "coherence" | "averages" | "powerError" | "wideError") =>
    responses.every((r) => r[key]) ? { [key]: mean((r) => r[key]!) } : {};
  return {
    frequency: responses[0].frequency,
    re,
    im,
    diffuse: mean(power).map((p, i) => Math.max(0, p - re[i] ** 2 - im[i] ** 2)),
    ...optional("coherence"),
    ...optional("averages"),
    ...optional("powerError"),
    ...optional("wideError"),
  };
}

/** Mean square of the error within four frequencies on either side, a sixth of an octave; 1 where no error is known. */
function smoothed({ frequency, powerError }: Response): Float64Array {
  return frequency.map((_, i) => {
    const around = powerError?.subarray(Math.max(0, i - 4), i + 5);
    return around?.some((e) => e > 0) ? around.reduce((sum, e) => sum + e * e, 0) / around.length : 1;
  });
}

function normalised(weights: readonly Float64Array[]): Float64Array[] {
  return weights.map((own) => own.map((w, i) => w / weights.reduce((sum, all) => sum + all[i], 0)));
}
