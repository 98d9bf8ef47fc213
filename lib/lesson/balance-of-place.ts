/** How a place colours what is played: its level over frequency against its own mid band. */
import { bandLevel } from "../acoustics/bands";
import { power, type Response, sumResponses } from "../acoustics/response";
import { smoothPower } from "../acoustics/smoothing";
import type { Survey } from "../survey/survey";

/**
 * Gain over frequency at one place, 1 on average from 500 to 2000 Hz.
 *
 * Sixths of an octave are smoothed over: a finer line belongs to arrivals that a level can't tell.
 *
 * @param survey  modelled or measured
 * @param id      of the position
 * @param offset  of the subs, dB
 * @returns the gain at a frequency in hertz, ratio; beyond the survey's ends that of its ends, and nothing below 15 Hz
 * @throws RangeError when the survey lacks the position
 */
export function balanceOfPlace(survey: Survey, id: string, offset: number): (frequency: number) => number {
  const at = survey.positions.findIndex((p) => p.id === id);
  if (at < 0) {
    const some = survey.positions.slice(0, 6).map((p) => `"${p.id}"`);
    throw new RangeError(
      `the survey "${survey.name}" has no place "${id}", it has ${some.join(", ")}${survey.positions.length > 6 ? " and others" : ""}`,
    );
  }
  const { frequency } = survey;
  const square = smoothPower(frequency, power(heardAt(survey, at, 10 ** (offset / 20))), 6);
  const mid = bandLevel(frequency, square, 450, 2240);
  const gain = square.map((p) => 10 ** ((10 * Math.log10(Math.max(p, 1e-30)) - mid) / 20));
  return (f) => {
    if (f < 15) return 0;
    if (f <= frequency[0]) return gain[0];
    const above = frequency.findIndex((x) => x >= f);
    if (above < 0) return gain[gain.length - 1];
    const share = Math.log(f / frequency[above - 1]) / Math.log(frequency[above] / frequency[above - 1]);
    return gain[above - 1] * (1 - share) + gain[above] * share;
  };
}

function heardAt({ mains, subs, fills }: Survey, at: number, gain: number): Response {
  const above = fills ? sumResponses(mains[at], fills[at]) : mains[at];
  return sumResponses(above, subs[at], { re: gain, im: 0 });
}
