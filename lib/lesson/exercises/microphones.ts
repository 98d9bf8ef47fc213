/** Microphones: where they may stand, and the traces that they give. */
import type { Point } from "../../acoustics/point";
import type { Response } from "../../acoustics/response";
import { modelSurvey } from "../../field/model-survey";
import { normal } from "../../numeric/random";
import { standFor } from "../../study/stand-for";
import type { Survey } from "../../survey/survey";
import { quoted } from "../../text/quoted";
import type { NamedPoint, Venue, Zone } from "../../venue/venue";
import { hash } from "./hash";
import type { PositionChoice } from "./task";

/**
 * What disturbs a trace: normally distributed numbers for a group of sources (1 mains, 2 subs, 3 fills) at a position.
 */
export type Noise = (group: number, position: string) => () => number;

/** Noise that anybody can make again who knows the seed. */
export const seededNoise =
  (seed: number): Noise =>
  (group, position) =>
    normal(seed + 7919 * group + hash(position));

/**
 * Traces at some places of a venue.
 *
 * The reverberation is one draw of the random field that the model's diffuse energy describes; noise of the microphone
 * and of the room lies 35 dB below.
 *
 * @param venue  as it really is
 * @param positions  where the microphones stand
 * @param noise  the same noise gives the same traces
 * @returns a survey; each place stands for the people nearest to it, for one where no place has any
 * @source complex Gaussian field above the Schroeder frequency: Schroeder, J. Acoust. Soc. Am. 34 (1962), from memory
 */
export function tracesAt(venue: Venue, positions: readonly NamedPoint[], noise: Noise): Survey {
  const stands = standFor(venue, positions);
  // Who measured at the mix position alone gets what it says, and a hint, rather than an error about people.
  const nobody = stands.every(({ people }) => people === 0);
  const survey = modelSurvey(venue, nobody ? stands.map((each) => ({ ...each, people: 1 })) : stands);
  // A place hears the same noise whatever other places are measured with it.
  const heard = (responses: readonly Response[], group: number) =>
    responses.map((r, i) => disturbed(r, noise(group, positionKey(positions[i].point))));
  return {
    ...survey,
    name: `microphones in ${venue.name}`,
    mains: heard(survey.mains, 1),
    subs: heard(survey.subs, 2),
    ...(survey.fills ? { fills: heard(survey.fills, 3) } : {}),
  };
}

/**
 * The places that a student means, each once.
 *
 * @param chosen  named places, or metres in plan
 * @param venue  the drawing
 * @param named  places with a name
 * @returns the places by `placeKey`
 * @throws RangeError as `placeOf` does, and where no place is given
 */
export function positionsOf(
  chosen: readonly PositionChoice[],
  venue: Venue,
  named: readonly NamedPoint[],
): Map<string, NamedPoint> {
  if (!Array.isArray(chosen)) {
    throw new RangeError(
      `the positions are ${quoted(chosen)}, expected a list of them, such as ["${named[0]?.id ?? "row D"}", { x: 8, y: 2 }]`,
    );
  }
  if (chosen.length === 0) throw new RangeError("no position is given, expected where a microphone stands");
  const positions = chosen.map((position) => positionOf(position, venue, named));
  return new Map(positions.map((position) => [positionKey(position.point), position] as const));
}

/**
 * The place that a student means.
 *
 * @param position  a named place, or metres in plan
 * @param venue  the drawing
 * @param named  places with a name
 * @throws RangeError when nobody can stand there, or no place has this name
 */
export function positionOf(position: PositionChoice, venue: Venue, named: readonly NamedPoint[]): NamedPoint {
  if (typeof position === "string") {
    const found = named.find(({ id }) => id === position);
    if (found) return found;
    throw new RangeError(
      `there is no position "${position}", expected ${named.map((p) => `"${p.id}"`).join(", ")} or metres such as { x: 8, y: 2 }`,
    );
  }
  const { x, y, area } = position ?? {};
  if (!Number.isFinite(x) || !Number.isFinite(y)) {
    throw new RangeError(
      `a microphone stands at ${quoted(position)}, expected a name or metres such as { x: 8, y: 2 }`,
    );
  }
  const zones = [
    ...venue.audience.filter((each) => area === undefined || each.name === area),
    ...(area === undefined ? [venue.frontOfHouse] : []),
  ];
  const heights = zones.flatMap((zone) => {
    const floor = floorAt(zone, x, y);
    return floor === undefined ? [] : [floor + zone.earHeight];
  });
  if (heights.length === 0) {
    throw new RangeError(
      `nobody listens at x ${x}, y ${y}: a microphone stands in ${venue.audience.map((a) => a.name).join(", ")} or at front of house`,
    );
  }
  return { id: `x ${x}, y ${y}${area ? `, ${area}` : ""}`, point: { x, y, z: Math.min(...heights) } };
}

/** Two places at one point are one place. */
export const positionKey = ({ x, y, z }: Point): string => [x, y, z].map((v) => v.toFixed(2)).join(" ");

const NOISE = 10 ** (-35 / 20);

function disturbed(response: Response, random: () => number): Response {
  const { frequency, re, im, diffuse } = response;
  const mean = Math.sqrt(re.reduce((s, x, i) => s + x * x + im[i] * im[i], 0) / re.length);
  const spread = frequency.map((_, i) => Math.sqrt(((diffuse?.[i] ?? 0) + (NOISE * mean) ** 2) / 2));
  return {
    frequency,
    re: re.map((x, i) => x + spread[i] * random()),
    im: im.map((x, i) => x + spread[i] * random()),
    ...(response.coherence ? { coherence: response.coherence } : {}),
  };
}

/** Height of a zone's floor at a point of the plan; undefined outside. */
function floorAt({ corners: [fl, fr, br, bl] }: Pick<Zone, "corners">, x: number, y: number) {
  const front = (fl.x + fr.x) / 2;
  const back = (bl.x + br.x) / 2;
  const t = (x - front) / (back - front);
  const left = fl.y + t * (bl.y - fl.y);
  const right = fr.y + t * (br.y - fr.y);
  const tiny = 1e-9;
  if (t < -tiny || t > 1 + tiny || y > Math.max(left, right) + tiny || y < Math.min(left, right) - tiny) {
    return undefined;
  }
  return fl.z + t * (bl.z - fl.z);
}
