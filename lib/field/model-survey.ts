/**
 * The survey of a model: what mains, subs and fills of a venue do at given positions.
 */
import { speedOfSound } from "../acoustics/distance/air";
import type { Point } from "../acoustics/point";
import type { Response } from "../acoustics/response";
import { type Complexes, complexes } from "../numeric/complexes";
import type { Position, Survey } from "../survey/survey";
import type { Source, Venue } from "../venue/venue";
import { modelFrequencies } from "./frequencies";
import { groupField } from "./group-field";
import { firstOfPaths, takeWaves, wavesMissing, wavesOf } from "./hand-over";
import { asksOfPaths, type FieldOptions, type Settings, settled } from "./options";
import { rectangle } from "./paths/rectangle";
import { diffuseField } from "./room/diffuse";
import { emission } from "./room/emission";
import { firstWalls } from "./room/first-walls";
import { silentPositions } from "./silent";
import type { Waves } from "./waves/low-band";

/**
 * Survey of a venue by its model: what mains, subs and fills do at given positions.
 *
 * Each source's direct sound and reflections are added by amplitude and phase; the rest of the room's sound, its diffuse
 * field, is kept beside them as a mean square. How much walls scatter it does not know: against ray tracing of boxes,
 * 250 Hz to 4 kHz, the mains' level is right within 0.9 dB and its change from front to back within 2 dB, one standard deviation.
 *
 * @param venue  what stands where
 * @param positions  where to compute, metres, such as `venues.seats` or `venues.positions` give
 * @param options  frequencies, hertz, and what to take into account
 * @returns responses in pascals, rms in a third-octave band for a drive with equal power in each; with a diffuse field,
 *   its mean square and the coherence that follows from it, |coherent|²/(|coherent|² + diffuse); `warnings` names positions
 *   that no direct or reflected sound reaches
 * @throws RangeError when the frequencies are not positive and ascending, or the order is not a whole number from
 *   0 to 8
 * @source image sources: Allen and Berkley, Image method for efficiently simulating small-room acoustics, J. Acoust. Soc. Am. 65 (1979), 943-950; diffuse field: energy balance, Kuttruff, Room Acoustics, with half the slope of Barron and Lee, Energy relations in concert auditoriums I, J. Acoust. Soc. Am. 84 (1988), 618-628 (all from memory); check: tests/field/model-survey.test.ts, tests/field/room/mid-band.test.ts
 * @example
 * const hall = read.venue("pennavoe-assembly-hall");
 * const survey = predict.survey(hall, venues.seats(hall, { count: 12 }), { order: 0 });
 * survey.frequency.length // 240
 */
export function modelSurvey(
  venue: Venue,
  positions: readonly Position[],
  options: FieldOptions = {},
): Survey {
  const { frequency = modelFrequencies() } = options;
  return withWarnings(
    venue,
    options,
    surveyOf(venue, positions, frequency, (group) => {
      const places = positions.map((p) => p.point);
      return places.map(responder(venue, group, places, { ...options, frequency }));
    }),
  );
}

/** A model's survey with what is to be said of it. */
export function withWarnings(venue: Venue, options: FieldOptions, survey: Survey): Survey {
  const warnings = [
    ...silentPositions(venue, survey.positions, survey),
    ...(asksOfPaths(options) ? [] : wavesMissing(venue)),
  ];
  return warnings.length > 0 ? { ...survey, warnings } : survey;
}

/** The survey of a model from each group's responses. */
export function surveyOf(
  venue: Venue,
  positions: readonly Position[],
  frequency: Float64Array,
  respond: (group: Source["group"]) => Response[],
): Survey {
  const fills = venue.sources.some((s) => s.group === "fills") ? { fills: respond("fills") } : {};
  return {
    name: `model of ${venue.name}`,
    quantity: "pressure",
    frequency,
    positions,
    mains: respond("mains"),
    subs: respond("subs"),
    ...fills,
  };
}

/**
 * Makes the function that gives a group's response at a place, one at a time.
 *
 * @param venue  the venue
 * @param group  which sources
 * @param places  where it will be asked
 * @param options  as for `modelSurvey`
 * @returns a function from one of the places to its response
 * @throws RangeError as `modelSurvey`
 */
export function responder(
  venue: Venue,
  group: Source["group"],
  places: readonly Point[],
  options: FieldOptions = {},
): (position: Point) => Response {
  const settings = settled(venue, group, options);
  const { frequency } = settings;
  const sources = venue.sources.filter((s) => s.group === group);
  const reverberant = roomField(venue, sources, settings);
  const waves = settings.lowBand === "waves" ? wavesOf(venue, sources, places, settings) : undefined;
  const from = waves ? firstOfPaths(frequency) : 0;
  const above = pathsFrom(venue, sources, settings, from);
  let everywhere: typeof above | undefined;
  return (position) => {
    const low = waves?.(position);
    // In a wall, say, there are no waves, and paths alone answer.
    if (!low && from > 0) everywhere ??= pathsFrom(venue, sources, settings);
    const { re, im } = ((!low && everywhere) || above)(position);
    return responseOf(frequency, re, im, reverberant?.(position).slice(), low);
  };
}

/** The pressure of a group by paths from one of the frequencies on, and nothing below it. */
export function pathsFrom(
  venue: Venue,
  sources: readonly Source[],
  settings: Settings,
  from = 0,
): (position: Point) => Complexes {
  const count = settings.frequency.length;
  const field = from < count ? groupField(venue, sources, { ...settings, from }) : undefined;
  return (position) => {
    const whole = complexes(count);
    if (!field) return whole;
    const { re, im } = field(position);
    whole.re.set(re, from);
    whole.im.set(im, from);
    return whole;
  };
}

/**
 * The response of coherent and diffuse sound, and the coherence that follows.
 *
 * @param waves  the low band, which takes the place of the others
 */
export function responseOf(
  frequency: Float64Array,
  re: Float64Array,
  im: Float64Array,
  diffuse: Float64Array | undefined,
  waves?: Waves,
): Response {
  if (waves) takeWaves({ frequency, re, im, diffuse }, waves);
  if (!diffuse) return { frequency, re, im };
  const coherence = diffuse.map((d, f) => {
    const coherent = re[f] * re[f] + im[f] * im[f];
    return coherent > 0 ? coherent / (coherent + d) : 0;
  });
  return { frequency, re, im, diffuse, coherence };
}

/** The diffuse field of a group, as `diffuseField` gives it; undefined where there is none. */
export function roomField(
  venue: Venue,
  sources: readonly Source[],
  { frequency, order, diffuse }: Settings,
): ((position: Point) => Float64Array) | undefined {
  if (!venue.room || diffuse === "none") return undefined;
  const c = speedOfSound(venue.air.temperature);
  const walls = venue.boundaries.map(({ name, corners, absorption }) => ({
    rectangle: rectangle(corners, `boundary "${name}"`),
    absorption,
  }));
  const modelledArea = walls.reduce((sum, { rectangle: r }) => sum + r.width * r.height, 0);
  const emitted = emission(sources, walls, frequency, c);
  const fractions = emitted.positions.map(({ fraction }) => fraction);
  return diffuseField(venue.room, emitted, frequency, {
    model: diffuse,
    order,
    modelledArea,
    speedOfSound: c,
    ...(diffuse === "energy-balance" && {
      first: firstWalls(venue, venue.room, sources, fractions, frequency),
    }),
  });
}
