/** Several points around a position of the venue, "mix position/1" and "mix position/2", as one average over space. */
import { power, type Response } from "../acoustics/response";
import { listed } from "../text/listed";
import type { Venue } from "../venue/venue";
import { LOW_BAND, levelWithError, MID_BAND, type Span } from "./level-with-error";
import type { Playing } from "./measure-take";
import { positionOf } from "./position-of";

/** What was heard at a point: what played, or both with the setting entered. */
export type HeardPart = Playing | "verification";
type Parts = ReadonlyMap<HeardPart, Response>;

/**
 * What was heard, by position instead of by point.
 *
 * @param problems  is added to: points that lack a part
 * @param warnings  is added to: how much the points differ
 */
export function byPosition(
  responses: ReadonlyMap<string, Parts>,
  venue: Venue,
  problems: string[],
  warnings: string[],
): ReadonlyMap<string, Parts> {
  const names = new Map<string, string[]>();
  for (const name of responses.keys()) {
    const position = positionOf(name, venue.positions)!;
    names.set(position, [...(names.get(position) ?? []), name]);
  }
  const all = [...names].map(([position, points]): [string, Parts] => {
    if (points.length === 1) return [position, responses.get(points[0])!];
    const complete = points.filter(
      (name) => responses.get(name)!.has("mains") && responses.get(name)!.has("subs"),
    );
    const lacking = points.filter((name) => !complete.includes(name));
    if (lacking.length > 0 && complete.length > 0)
      problems.push(
        `${listed(lacking)} ${lacking.length > 1 ? "lack" : "lacks"} usable mains or subs: left out of "${position}"`,
      );
    if (complete.length < 2) return [position, responses.get(complete[0] ?? points[0])!];
    const heard = complete.map((name) => responses.get(name)!);
    warnings.push(
      `position "${position}" is the average by power of ${complete.length} points; from one to another the subs vary by ${spread(heard, "subs", LOW_BAND)} dB and the mains by ${spread(heard, "mains", MID_BAND)} dB (standard deviation), which is in the error`,
    );
    return [position, averageOfPoints(heard)];
  });
  return new Map(all);
}

/**
 * One response for each part, whose powers, alone and of any sum of the parts, are the means over the points.
 *
 * Whichever part is stronger at a frequency stands for all points by its mean power. Of another part that much is coherent as meets it in
 * phase in the mean, so that a sum at any gain, polarity or delay has the mean of the points' powers; the rest has no phase.
 *
 * @param points  at least two, each with mains and subs
 */
export function averageOfPoints(points: readonly Parts[]): Parts {
  const playing = (["mains", "subs", "both", "verification"] as const).filter((part) =>
    points.every((p) => p.has(part)),
  );
  const length = Math.min(...points.flatMap((p) => playing.map((part) => p.get(part)!.frequency.length)));
  const of = (part: HeardPart) => points.map((p) => p.get(part)!);
  const withPhase = (part: HeardPart) => of(part).every((r) => !r.magnitudeOnly);
  const anchors = (["mains", "subs"] as const).filter(withPhase).map(of);
  return new Map(
    playing.map((part) => [
      part,
      withPhase(part) ? meanOf(of(part), anchors, length) : meanPower(of(part), length),
    ]),
  );
}

/** A part relative to the strongest of the anchors. */
function meanOf(
  points: readonly Response[],
  anchors: readonly (readonly Response[])[],
  length: number,
): Response {
  const mean = meanPower(points, length);
  const whole = power(mean);
  const [re, im] = [new Float64Array(length), new Float64Array(length)];
  for (let i = 0; i < length; i++) {
    const powers = anchors.map((anchor) => anchor.reduce((sum, a) => sum + a.re[i] ** 2 + a.im[i] ** 2, 0));
    const strongest = powers.indexOf(Math.max(...powers));
    const anchor = anchors[strongest];
    const sumRe = anchor.reduce((sum, a) => sum + a.re[i], 0);
    const sumIm = anchor.reduce((sum, a) => sum + a.im[i], 0);
    const size = Math.sqrt(powers[strongest] * points.length) * Math.hypot(sumRe, sumIm);
    if (!(size > 0)) continue;
    let [x, y] = [0, 0];
    points.forEach((point, k) => {
      const a = anchor[k];
      x += a.re[i] * point.re[i] + a.im[i] * point.im[i];
      y += a.re[i] * point.im[i] - a.im[i] * point.re[i];
    });
    re[i] = (x * sumRe - y * sumIm) / size;
    im[i] = (x * sumIm + y * sumRe) / size;
  }
  const diffuse = whole.map((p, i) => Math.max(0, p - re[i] ** 2 - im[i] ** 2));
  const { magnitudeOnly: _, ...rest } = mean;
  return { ...rest, re, im, diffuse };
}

/** The mean by power, without phase; its error holds that of the points and their spread. */
function meanPower(points: readonly Response[], length: number): Response {
  const mean = (of: (r: Response) => Float64Array) => {
    const all = points.map(of);
    return Float64Array.from({ length }, (_, i) => all.reduce((sum, x) => sum + x[i], 0) / points.length);
  };
  const frequency = points[0].frequency.slice(0, length);
  const powers = points.map(power);
  const apart = spreadVariance(frequency, powers);
  const optional = (key: "coherence" | "averages") =>
    points.every((r) => r[key]) ? { [key]: mean((r) => r[key]!) } : {};
  const error = (key: "powerError" | "wideError") =>
    points.every((r) => r[key])
      ? { [key]: mean((r) => r[key]!).map((e, i) => Math.hypot(e, Math.sqrt(apart[i]))) }
      : {};
  return {
    frequency,
    re: mean((r) => r.re.map((x, i) => x * x + r.im[i] ** 2)).map(Math.sqrt),
    im: new Float64Array(length),
    diffuse: mean((r) => r.diffuse ?? new Float64Array(length)),
    ...optional("coherence"),
    ...optional("averages"),
    ...error("powerError"),
    ...error("wideError"),
    magnitudeOnly: true,
  };
}

/**
 * Variance of the mean over so few points, for each frequency as if independent of the next: what an octave's power varies from point
 * to point, for neighbouring frequencies vary together.
 */
function spreadVariance(frequency: Float64Array, powers: readonly Float64Array[]): Float64Array {
  return frequency.map((f, i) => {
    let from = i;
    let to = i + 1;
    while (from > 0 && frequency[from - 1] > f / Math.SQRT2) from--;
    while (to < frequency.length && frequency[to] < f * Math.SQRT2) to++;
    const sums = powers.map((p) => p.subarray(from, to).reduce((a, b) => a + b, 0));
    return variance(sums) / powers.length / (to - from);
  });
}

function variance(values: readonly number[]): number {
  const mean = values.reduce((a, b) => a + b, 0) / values.length;
  return values.reduce((sum, x) => sum + (x - mean) ** 2, 0) / (values.length - 1);
}

const spread = (points: readonly Parts[], part: HeardPart, band: Span): string =>
  Math.sqrt(variance(points.map((p) => levelWithError(p.get(part)!, band).level))).toFixed(1);
