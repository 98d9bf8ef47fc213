/** How sure a number is that follows from a survey of which there are draws. */
import type { Survey } from "../survey/survey";

/** A number with what it may be instead. */
export interface Interval {
  /** What follows from the likeliest survey. */
  readonly value: number;
  /** In nine cases of ten the truth lies between this and `upper`. */
  readonly lower: number;
  readonly upper: number;
}

/**
 * The 90 % interval of a number.
 *
 * @param survey  the likeliest one
 * @param draw  gives one that may be true as well, another for each number
 * @param of  what is to be known of a survey
 * @param draws  how many, 10 to 1000
 * @throws RangeError when `draws` is not a whole number from 10 to 1000, or what is asked is no number
 */
export function intervalOf(
  survey: Survey,
  draw: (number: number) => Survey,
  of: (survey: Survey) => number,
  draws: number,
): Interval {
  if (!(Number.isInteger(draws) && draws >= 10 && draws <= 1000))
    throw new RangeError(`draws is ${draws}, expected a whole number from 10 to 1000`);
  const finite = (one: Survey): number => {
    const found = of(one);
    if (!Number.isFinite(found))
      throw new RangeError(`what is asked of a survey is ${found}, expected a number`);
    return found;
  };
  return intervalFrom(
    finite(survey),
    Array.from({ length: draws }, (_, i) => finite(draw(i))),
  );
}

/** The 90 % interval of draws, around a value. */
export function intervalFrom(value: number, draws: readonly number[]): Interval {
  const drawn = Float64Array.from(draws).sort();
  const at = (fraction: number): number => {
    const place = Math.min(drawn.length - 1, Math.max(0, fraction * drawn.length - 0.5));
    const below = Math.floor(place);
    const above = Math.min(drawn.length - 1, below + 1);
    return drawn[below] + (place - below) * (drawn[above] - drawn[below]);
  };
  return { value, lower: at(0.05), upper: at(0.95) };
}
