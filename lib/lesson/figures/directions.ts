import { modelSurvey } from "../../field/model-survey";
import { inDecibels } from "../../text/decibels";
import type { Source, Venue } from "../../venue/venue";
import { linearAxis } from "./parts/axes";
import { curvesFigure } from "./parts/curves";
import type { Figure } from "./parts/figure";

export interface DirectionsOptions {
  /** Frequencies to draw, hertz; at most four. Default 40, 63 and 100. */
  readonly frequencies?: readonly number[];
  /** How far away one listens, metres. Default 100: far against any layout. */
  readonly distance?: number;
  /** Around the layout at its own height, or in the upright plane through it from front to back. Default "around". */
  readonly plane?: "around" | "upright";
  readonly title?: string;
}

/** Every so many degrees a value. */
const step = 3;

/**
 * Level of a layout over direction, in the open and on one plane, against one of its cabinets alone.
 *
 * 0° is forward, +90° house left (straight up in the upright plane), ±180° straight behind. The circle is about the middle of the
 * cabinets.
 *
 * @param sources  cabinets, such as those of a layout
 * @param options  frequencies, distance, plane
 * @throws RangeError when there is no cabinet, or no frequency
 */
export function directionsFigure(sources: readonly Source[], options: DirectionsOptions = {}): Figure {
  const { frequencies = [40, 63, 100], plane = "around", title = "How much goes where" } = options;
  const levels = levelsOverDirection(sources, options);
  return curvesFigure({
    title,
    alt: frequencies
      .map((f, i) => {
        const behind = levels[i][0];
        const beside = levels[i][levels[i].length * 0.75 - 0.75];
        return `${f} Hz: ${inDecibels(levels[i][60])} forward, ${inDecibels(beside)} ${plane === "upright" ? "straight up" : "to house left"}, ${inDecibels(behind)} behind, relative to one cabinet alone.`;
      })
      .join(" "),
    curves: levels.map((y, i) => ({
      label: `${frequencies[i]} Hz`,
      x: directions,
      y: y.map((level) => Math.max(level, -21)),
      colour: ["@subs", "@mark", "@mains", "@ink"][i % 4],
      dash: (["solid", "dash", "dot", "dashdot"] as const)[i % 4],
    })),
    xaxis: linearAxis(
      plane === "upright" ? "Direction (°), 0 is forward, 90 is up" : "Direction (°), 0 is forward",
      -180,
      180,
      {
        tickvals: [-180, -90, 0, 90, 180],
      },
    ),
    yaxis: linearAxis("Level relative to one cabinet (dB)", -20, 25, { dtick: 5 }),
    height: 360,
  });
}

const directions = Float64Array.from({ length: 360 / step + 1 }, (_, i) => -180 + step * i);

/**
 * Levels over direction, from −180° to 180° in steps of three degrees.
 *
 * @param sources  cabinets
 * @param options  frequencies, distance, plane
 * @returns one array per frequency, dB against the first cabinet alone, without its gain, on its axis
 */
export function levelsOverDirection(
  sources: readonly Source[],
  { frequencies = [40, 63, 100], distance = 100, plane = "around" }: DirectionsOptions = {},
): number[][] {
  if (sources.length === 0) throw new RangeError("there is no cabinet: give the sources of a layout");
  if (frequencies.length === 0) throw new RangeError("there is no frequency to draw: give one or more");
  const middle = mean(sources);
  const places = Array.from(directions, (degrees, i) => {
    const angle = (degrees * Math.PI) / 180;
    const aside = distance * Math.sin(angle);
    const point = {
      x: middle.x + distance * Math.cos(angle),
      y: middle.y + (plane === "around" ? aside : 0),
      z: middle.z + (plane === "upright" ? aside : 0),
    };
    return { id: `${i}`, point, area: "around", people: 1 };
  });
  const frequency = Float64Array.from(frequencies);
  const magnitudes = (cabinets: readonly Source[], positions: typeof places) =>
    modelSurvey(open(cabinets), positions, { frequency }).subs.map(({ re, im }) =>
      re.map((x, k) => Math.hypot(x, im[k])),
    );
  const all = magnitudes(sources, places);
  const alone = { ...sources[0], point: middle, gain: 0, delay: 0, polarity: 1 as const };
  const forward = { ...places[(places.length - 1) / 2] };
  forward.point = {
    x: middle.x + distance * alone.axis.x,
    y: middle.y + distance * alone.axis.y,
    z: middle.z + distance * alone.axis.z,
  };
  const [one] = magnitudes([alone], [forward]);
  return frequencies.map((_, k) => all.map((each) => 20 * Math.log10(Math.max(each[k] / one[k], 1e-5))));
}

function mean(sources: readonly Source[]) {
  const of = (axis: "x" | "y" | "z") => sources.reduce((sum, s) => sum + s.point[axis], 0) / sources.length;
  return { x: of("x"), y: of("y"), z: of("z") };
}

/** A place without surfaces. */
function open(sources: readonly Source[]): Venue {
  const corner = { x: 0, y: 0, z: 0 };
  return {
    name: "open air",
    story: "Nothing but these cabinets.",
    air: { temperature: 20, relativeHumidity: 50, pressure: 101.325 },
    sources: sources.map((s) => ({ ...s, group: "subs" as const })),
    audience: [],
    boundaries: [],
    cavities: [],
    frontOfHouse: { corners: [corner, corner, corner, corner], earHeight: 1.2 },
    positions: [],
  };
}
