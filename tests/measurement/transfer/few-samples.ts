/** Responses of a few frequencies, written out. */
import type { Response } from "../../../lib/acoustics/response";

export const list = (...values: number[]) => Float64Array.from(values);
/** The imaginary part is 0 where none is given. */
export const of = (
  frequency: number[],
  re: number[],
  im = re.map(() => 0),
  more: Partial<Response> = {},
): Response => ({
  frequency: list(...frequency),
  re: list(...re),
  im: list(...im),
  ...more,
});
