import { modelSurvey } from "../../field/model-survey";
import { inDecibels } from "../../text/decibels";
import type { Source, Venue } from "../../venue/venue";
import { linearAxis } from "./parts/axes";
import { curvesFigure } from "./parts/curves";
import type { Figure } from "./parts/figure";

export interface DirectionsOptions {
  /** Frequencies to draw, hertz; at most four. Default 40, 63 and 100. */
  readonly frequencies?: readonly number[];
  /** How far away one listens, metres. Default 100: far relative to the size of any layout. */
  readonly distance?: number;
  /** "around": around the layout at its own height. "vertical": in the vertical plane from front to back. Default "around". */
  readonly plane?: "around" | "vertical";
  /** Above the figure. Default "How much goes where". */
  readonly title?: string;
}

/** Every so many degrees a value. */
const step = 3;

/**
 * Level of a layout over direction, in the open and on one plane, relative to one of its cabinets alone.
 *
 * Across: direction (°), 0° forward, +90° house left (straight up in the vertical plane), ±180° straight behind. Up: level
 * (dB) relative to the first cabinet alone on its axis; what lies below −20 dB is cut off. The listener goes round the
 * middle of the cabinets. Look for how wide each frequency stays near its top, how deep it is behind, and whether the
 * frequencies agree.
 *
 * @param sources  cabinets, such as `Layout.sources`
 * @param options  frequencies, distance, plane
 * @returns a figure, for `show`
 * @throws RangeError when there is no cabinet, or no frequency
 * @source sum of the sound pressures of equal sources: Olson, Acoustical Engineering, and Balanis, Antenna Theory, chapter
 *   6 (both from memory); check: tests/lesson/figures/directions.test.ts
 * @example
 * const cabinet = read.venue("pennavoe-assembly-hall").sources.find((s) => s.group === "subs");
 * const position = { x: 0, y: 0, z: 0.3 };
 * const endFire = layouts.endFire({ cabinet, position, count: 3, spacing: 1.1, upTo: 80 });
 * show(draw.directions(endFire.sources, { frequencies: [40, 63, 80] }));
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
        return `${f} Hz: ${inDecibels(levels[i][60])} forward, ${inDecibels(beside)} ${plane === "vertical" ? "straight up" : "to house left"}, ${inDecibels(behind)} behind, relative to one cabinet alone.`;
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
      plane === "vertical" ? "Direction (°), 0 is forward, 90 is up" : "Direction (°), 0 is forward",
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
      z: middle.z + (plane === "vertical" ? aside : 0),
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
