/** What mains and subs play together once each is changed, as a response at one position. */
import { later, type Response } from "../../acoustics/response";
import type { Entered, GroupChange } from "./entered";

/** A factor on the amplitude, negative where it inverts, and a delay in seconds. */
export interface Change {
  readonly gain: number;
  readonly delay: number;
}

/** What each group really did. */
export interface Played {
  readonly mains: Change;
  readonly subs: Change;
}

const changeOf = ({ level_db, delay_ms, polarity }: GroupChange): Change => ({
  gain: polarity * 10 ** (level_db / 20),
  delay: delay_ms / 1000,
});

export const playedAs = ({ mains, subs }: Entered): Played => ({
  mains: changeOf(mains),
  subs: changeOf(subs),
});

/** A response changed so. */
export function changed(response: Response, { gain, delay }: Change): Response {
  const late = delay === 0 ? response : later(response, delay);
  const amplitude = (x: number) => gain * x;
  const square = (x: number) => gain * gain * x;
  return {
    ...late,
    re: late.re.map(amplitude),
    im: late.im.map(amplitude),
    ...(late.diffuse && { diffuse: late.diffuse.map(square) }),
    ...(late.powerError && { powerError: late.powerError.map(square) }),
    ...(late.wideError && { wideError: late.wideError.map(square) }),
  };
}
