/**
 * What fills a dip: the subs at one position, with one surface after another taken away from the room.
 */
import { logGrid } from "../../acoustics/bands/bands";
import { smoothPower } from "../../acoustics/bands/smoothing";
import { depthCurve, dipFinder } from "../../decision/dips/dips";
import { elementsOf } from "../../decision/dips/elements";
import { leftOf, ON_GROUND } from "../../decision/dips/experiments";
import { takenAway } from "../../field/taken-away";
import type { Position } from "../../survey/survey";
import { percent } from "../../text/decibels";
import type { Venue } from "../../venue/venue";
import { overFrequencyFigure } from "../figures/parts/over-frequency";
import type { PanelKind, SliderValues, View } from "./panel";

export interface DipData {
  /** A venue with subs. */
  readonly venue: Venue;
  /** Where one listens. */
  readonly position: Position;
}

export interface DipContent {
  readonly position: string;
  readonly frequency: Float64Array;
  /** Level of the subs, dB. */
  readonly whole: Float64Array;
  /** The deepest dip: where it is, and how deep, dB. */
  readonly at: number;
  readonly depth: number;
  /** The same with each thing taken away, those that fill most first. */
  readonly without: readonly { readonly name: string; readonly level: Float64Array; readonly left: number }[];
}

export const dip: PanelKind<DipData, DipContent> = {
  title: "What fills the dip when it is taken away?",
  sliders: ({ without }) => [
    {
      name: "away",
      label: "Taken away, by number",
      unit: "",
      min: 0,
      max: without.length,
      step: 1,
      value: 0,
    },
  ],
  reduce: ({ venue, position }) => {
    const subs = venue.sources.filter((s) => s.group === "subs");
    const standing = subs.every((s) => s.point.z < ON_GROUND);
    const elements = elementsOf(venue, standing ? ["floor"] : []).slice(0, MOST);
    if (subs.length === 0)
      throw new RangeError(`venue "${venue.name}" has no subs, whose dips could be filled`);
    const { whole, without } = takenAway(venue, [subs], [position.point], elements, { frequency });
    const powerOf = ([[{ re, im }]]: typeof whole) => re.map((x, f) => x * x + im[f] * im[f]);
    const level = (power: Float64Array) =>
      smoothPower(frequency, power, 12).map((p) => 10 * Math.log10(Math.max(p, 1e-20) / 4e-10));
    const found = finder(powerOf(whole), RANGE, LEAST).sort((a, b) => b.depth_db - a.depth_db);
    if (found.length === 0) {
      throw new RangeError(
        `the subs have no dip of ${LEAST} dB at "${position.id}": choose another position`,
      );
    }
    const [{ frequency_hz: at, depth_db: depth }] = found;
    return {
      position: position.id,
      frequency,
      whole: level(powerOf(whole)),
      at,
      depth,
      without: without
        .map((heard, e) => {
          const left = leftOf(frequency, depthOf(powerOf(heard)), at);
          return { name: elements[e].name, level: level(powerOf(heard)), left };
        })
        .sort((a, b) => a.left - b.left),
    };
  },
  prepare: (content) => (values) => view(content, values),
};

const frequency = logGrid(20, 160, 100);
const finder = dipFinder(frequency);
const depthOf = depthCurve(frequency);
const RANGE = [28, 120] as const;
/** dB. */
const LEAST = 4;
const MOST = 12;

function view({ position, frequency, whole, at, depth, without }: DipContent, { away }: SliderValues): View {
  const gone = without[away - 1];
  const most = without.filter(({ left }) => left < depth / 2).map(({ name }) => name);
  const where = `At "${position}" the subs have a dip of ${depth.toFixed(0)} dB at ${at.toFixed(0)} Hz`;
  const all =
    most.length === 0
      ? "None of them alone fills half of it: it is the room's."
      : most.length > 3
        ? `${most.length} of them fill more than half of it: it is the room's.`
        : `More than half of it goes without ${most.join(", or without ")}.`;
  return {
    words: gone
      ? `Without "${gone.name}" ${gone.left.toFixed(0)} of ${depth.toFixed(0)} dB are left of the dip at ${at.toFixed(0)} Hz: ${percent(Math.max(0, 1 - gone.left / depth))} filled.`
      : `${where}. Everything is there; ${without.length} things can be taken away, what fills it most first. ${all}`,
    figures: [
      overFrequencyFigure({
        title: gone ? `Without ${gone.name}` : "Everything in its place",
        frequency,
        curves: { "everything there": whole, ...(gone && { [`without ${gone.name}`]: gone.level }) },
        marks: { "the dip": at },
        top: Math.ceil(Math.max(...whole) / 10) * 10 + 5,
        span: 50,
        yTitle: "Level of the subs (dB SPL)",
      }),
    ],
  };
}
