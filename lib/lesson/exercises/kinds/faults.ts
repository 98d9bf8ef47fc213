/** What somebody left wrong: settings of the subs that the drawing doesn't show. */
import type { Response } from "../../../acoustics/response";
import { longDelayFactor, product } from "../../../numeric/complexes";
import type { Survey } from "../../../survey/survey";
import type { Source, Venue } from "../../../venue/venue";

/** A venue with some of its sources changed. */
export function withSources(
  venue: Venue,
  which: (source: Source) => boolean,
  change: (source: Source) => Partial<Source>,
): Venue {
  return { ...venue, sources: venue.sources.map((s) => (which(s) ? { ...s, ...change(s) } : s)) };
}

export const isSub = (source: Source): boolean => source.group === "subs";
export const isMain = (source: Source): boolean => source.group !== "subs";

/** What the subs are changed by. */
export interface SubsChange {
  /** dB */
  readonly gain?: number;
  /** Seconds, positive is later. */
  readonly delay?: number;
  readonly inverted?: boolean;
}

/** Subs at another level, delay or polarity. */
export function withSubs(venue: Venue, { gain = 0, delay = 0, inverted = false }: SubsChange): Venue {
  const late = Math.max(0, delay);
  const early = Math.max(0, -delay); // nobody can be early: the mains and fills are made late
  const subs = withSources(venue, isSub, (s) => ({
    gain: s.gain + gain,
    delay: s.delay + late,
    polarity: inverted ? (s.polarity === 1 ? -1 : 1) : s.polarity,
  }));
  return withSources(subs, isMain, (s) => ({ delay: s.delay + early }));
}

/** A survey of a venue as it is with its subs changed: what they do relative to the mains, without another model. */
export function surveyWithSubs(
  survey: Survey,
  { gain = 0, delay = 0, inverted = false }: SubsChange,
): Survey {
  const factor = longDelayFactor(survey.frequency, delay);
  const ratio = 10 ** (gain / 20);
  const signed = inverted ? -ratio : ratio;
  const changed = (response: Response): Response => {
    const { re, im } = product(response, factor);
    return {
      ...response,
      re: re.map((x) => signed * x),
      im: im.map((y) => signed * y),
      ...(response.diffuse ? { diffuse: response.diffuse.map((d) => ratio * ratio * d) } : {}),
    };
  };
  return { ...survey, subs: survey.subs.map(changed) };
}

/** A number between two, to a tenth. */
export const between = (random: () => number, low: number, high: number): number =>
  Math.round((low + random() * (high - low)) * 10) / 10;

/** A number whose size lies between two, with either sign. */
export const eitherWay = (random: () => number, low: number, high: number): number =>
  between(random, low, high) * (random() < 0.5 ? -1 : 1);

/** One of several. */
export const oneOf = <T>(random: () => number, list: readonly T[]): T =>
  list[Math.min(list.length - 1, Math.floor(random() * list.length))];
