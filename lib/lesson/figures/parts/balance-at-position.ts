/** How a place colours what is played: its level over frequency against its own mid band. */
import { bandLevel } from "../../../acoustics/bands/bands";
import { smoothPower } from "../../../acoustics/bands/smoothing";
import { power, type Response, sumResponses } from "../../../acoustics/response";
import { rotation, type SubSetting } from "../../../decision/balance/band-powers";
import { mainsWithFills } from "../../../survey/mains-with-fills";
import type { Survey } from "../../../survey/survey";

/**
 * Gain over frequency at one place, 1 on average from 500 to 2000 Hz.
 *
 * Sixths of an octave are smoothed over: a finer line belongs to arrivals that a level can't tell.
 *
 * @param survey  modelled or measured
 * @param id      of the position
 * @param setting  of the subs, as they are when left out
 * @returns the gain at a frequency in hertz, ratio; beyond the survey's ends that of its ends, and nothing below 15 Hz
 * @throws RangeError when the survey lacks the position
 */
export function balanceAtPosition(
  survey: Survey,
  id: string,
  setting: SubLevelSetting = {},
): (frequency: number) => number {
  const at = survey.positions.findIndex((p) => p.id === id);
  if (at < 0) {
    const some = survey.positions.slice(0, 6).map((p) => `"${p.id}"`);
    throw new RangeError(
      `the survey "${survey.name}" has no position "${id}", it has ${some.join(", ")}${survey.positions.length > 6 ? " and others" : ""}`,
    );
  }
  const { frequency } = survey;
  const square = smoothPower(frequency, power(heardAt(survey, at, setting)), 6);
  const mid = bandLevel(frequency, square, 450, 2240);
  const gain = square.map((p) => 10 ** ((10 * Math.log10(Math.max(p, 1e-30)) - mid) / 20));
  return (f) => {
    if (f < 15) return 0;
    if (f <= frequency[0]) return gain[0];
    const above = frequency.findIndex((x) => x >= f);
    if (above < 0) return gain[gain.length - 1];
    const fraction = Math.log(f / frequency[above - 1]) / Math.log(frequency[above] / frequency[above - 1]);
    return gain[above - 1] * (1 - fraction) + gain[above] * fraction;
  };
}

/** What is done to the subs, relative to the survey. */
export interface SubLevelSetting extends SubSetting {
  /** dB, positive is louder. Default 0. */
  readonly offset?: number;
}

function heardAt(survey: Survey, at: number, setting: SubLevelSetting): Response {
  const { subs } = survey;
  const above = mainsWithFills(survey, at);
  const gain = 10 ** ((setting.offset ?? 0) / 20);
  const turn = rotation(subs[at].frequency, setting);
  const scaled = (part: Float64Array) => part.map((x) => gain * x);
  return sumResponses(
    above,
    subs[at],
    turn ? { re: scaled(turn.re), im: scaled(turn.im) } : { re: gain, im: 0 },
  );
}
