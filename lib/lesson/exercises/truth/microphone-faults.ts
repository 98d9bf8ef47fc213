/** What is wrong with the microphones of an exercise: faults of the kinds that the lesson on recording teaches. */
import { filterResponse } from "../../../acoustics/filters/response";
import type { Response } from "../../../acoustics/response";
import { product } from "../../../numeric/complexes";
import { normal } from "../../../numeric/random";
import type { Survey } from "../../../survey/survey";
import { between, oneOf } from "../kinds/faults";

/** A fault of the microphone on one channel, counted from 0 in the order in which they were set up. */
export interface MicrophoneFault {
  readonly kind: "low cut" | "noisy" | "deaf" | "mislabelled";
  readonly channel: number;
  /** Corner of the low cut, hertz. */
  readonly corner: number;
  /** Of the noise. */
  readonly seed: number;
}

/**
 * Draws the fault of one of some microphones. Of two that are mislabelled each has the other's name.
 *
 * @param count  how many there are
 */
export function drawFault(random: () => number, count: number): MicrophoneFault {
  const kinds =
    count > 3
      ? (["low cut", "noisy", "deaf", "mislabelled"] as const)
      : (["low cut", "noisy", "deaf"] as const);
  return {
    kind: oneOf(random, kinds),
    channel: Math.floor(random() * count),
    corner: between(random, 85, 110),
    seed: Math.floor(random() * 1e6),
  };
}

/**
 * What microphones hear with their fault.
 *
 * @param heard  what sound ones hear
 * @param channels  the channel of each position
 * @param count  how many microphones there are
 * @param at  heard by a channel's microphone wherever it stands, for names that were exchanged; undefined where none stands
 */
export function withFault(
  heard: Survey,
  channels: readonly number[],
  fault: MicrophoneFault,
  count: number,
  at: (
    channel: number,
  ) => { readonly mains: Response; readonly subs: Response; readonly fills?: Response } | undefined,
): Survey {
  const row = channels.indexOf(fault.channel);
  if (fault.kind === "mislabelled") {
    const pair = [fault.channel, (fault.channel + 1) % count];
    const other = (channel: number) =>
      channel === pair[0] ? pair[1] : channel === pair[1] ? pair[0] : undefined;
    const exchanged = (part: "mains" | "subs" | "fills", responses: readonly Response[]) =>
      responses.map((r, i) => {
        const from = other(channels[i]);
        return (from !== undefined && at(from)?.[part]) || r;
      });
    return byPart(heard, exchanged);
  }
  if (row < 0) return heard;
  const change = (response: Response, part: "mains" | "subs" | "fills"): Response => {
    if (fault.kind === "low cut") return cut(response, fault.corner);
    const random = normal(fault.seed + part.length);
    return fault.kind === "noisy"
      ? noisy(response, random, part === "subs" ? 4 : -60, [25, 180])
      : noisy(response, random, 10, [10, 20000]);
  };
  return byPart(heard, (part, responses) => responses.map((r, i) => (i === row ? change(r, part) : r)));
}

function byPart(
  survey: Survey,
  change: (part: "mains" | "subs" | "fills", responses: readonly Response[]) => Response[],
): Survey {
  return {
    ...survey,
    mains: change("mains", survey.mains),
    subs: change("subs", survey.subs),
    ...(survey.fills ? { fills: change("fills", survey.fills) } : {}),
  };
}

/** Through a low cut of second order. */
function cut(response: Response, frequency: number): Response {
  const filter = filterResponse(
    [{ kind: "butterworth", type: "highpass", order: 2, frequency }],
    response.frequency,
  );
  return { ...response, ...product(response, filter) };
}

/** With noise in a band, dB above the response's own mean there; coherence as S/(S + N), Bendat and Piersol, Random Data. */
function noisy(
  response: Response,
  random: () => number,
  level: number,
  [from, to]: readonly [number, number],
): Response {
  const { frequency, re, im } = response;
  const within = frequency.map((f) => (f >= from && f <= to ? 1 : 0));
  const powers = re.map((x, k) => within[k] * (x * x + im[k] * im[k]));
  const count = within.reduce((s, w) => s + w, 0);
  const mean = powers.reduce((s, p) => s + p, 0) / Math.max(1, count);
  const noise = mean * 10 ** (level / 10);
  const spread = Math.sqrt(noise / 2);
  const added = (x: number, k: number) => x + within[k] * spread * random();
  const power = (k: number) => re[k] ** 2 + im[k] ** 2;
  const coherence = frequency.map(
    (_, k) => (response.coherence?.[k] ?? 1) * (within[k] ? power(k) / (power(k) + noise) : 1),
  );
  return { ...response, re: re.map(added), im: im.map(added), coherence };
}
