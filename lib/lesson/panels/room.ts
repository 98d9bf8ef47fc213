/**
 * Direct sound and room of mains and subs over distance, for a hall that the reader describes in five numbers.
 */
import { barronRevised, criticalDistance } from "../../acoustics/room/diffuse-field";
import { absorptionAreaOfReverberation, schroederFrequency } from "../../acoustics/room/reverberation";
import { signedDecibels } from "../../text/decibels";
import { linearAxis } from "../figures/parts/axes";
import { curvesFigure } from "../figures/parts/curves";
import type { Figure } from "../figures/parts/figure";
import type { PanelKind, SliderValues, View } from "./panel";

/** Nothing but the sliders is needed; `upTo` is how far the hall reaches, metres. */
export interface RoomData {
  readonly upTo?: number;
}

export interface RoomContent {
  readonly upTo: number;
}

export const room: PanelKind<RoomData, RoomContent> = {
  title: "How much of what one hears is the room?",
  sliders: () => [
    { name: "volume", label: "Volume of the room", unit: "m³", min: 300, max: 20000, step: 100, value: 5200 },
    { name: "mid", label: "Reverberation at 1 kHz", unit: "s", min: 0.3, max: 6, step: 0.1, value: 1.4 },
    { name: "low", label: "Reverberation at 63 Hz", unit: "s", min: 0.3, max: 8, step: 0.1, value: 2 },
    {
      name: "mains",
      label: "Directivity index of the mains",
      unit: "dB",
      min: 0,
      max: 16,
      step: 1,
      value: 11,
    },
    { name: "subs", label: "Directivity index of the subs", unit: "dB", min: 0, max: 8, step: 1, value: 0 },
    { name: "distance", label: "Where you listen", unit: "m", min: 2, max: 40, step: 1, value: 15 },
  ],
  reduce: ({ upTo = 40 }) => ({ upTo }),
  prepare:
    ({ upTo }) =>
    (values) =>
      view(values, upTo),
};

function view({ volume, mid, low, mains, subs, distance }: SliderValues, upTo: number): View {
  const parts = [
    { name: "mains" as const, time: mid, index: mains, band: "1 kHz" },
    { name: "subs" as const, time: low, index: subs, band: "63 Hz" },
  ].map((part) => {
    const factor = 10 ** (part.index / 10);
    const field = (r: number) => barronRevised(r, volume, part.time, { directivityFactor: factor });
    const { direct, diffuse } = field(distance);
    return {
      ...part,
      factor,
      field,
      critical: criticalDistance(absorptionAreaOfReverberation(volume, part.time), factor),
      ratio: 10 * Math.log10(direct / diffuse),
      coherence: direct / (direct + diffuse),
    };
  });
  const [m, s] = parts;
  return {
    words: `At ${distance} m the direct sound of the mains is ${signedDecibels(m.ratio)} relative to the room, that of the subs ${signedDecibels(s.ratio)}: coherence ${m.coherence.toFixed(2)} and ${s.coherence.toFixed(2)}. Critical distances: ${m.critical.toFixed(1)} m and ${s.critical.toFixed(1)} m. Schroeder frequency ${Math.round(schroederFrequency(low, volume))} Hz.`,
    figures: parts.map((part) => figure(part, distance, upTo)),
  };
}

interface Part {
  readonly name: "mains" | "subs";
  readonly band: string;
  readonly factor: number;
  readonly field: (r: number) => { readonly direct: number; readonly diffuse: number };
  readonly critical: number;
  readonly ratio: number;
}

function figure(
  { name, band, factor, field, critical, ratio }: Part,
  distance: number,
  upTo: number,
): Figure {
  const x = Array.from({ length: 80 }, (_, i) => 1 + ((upTo - 1) * i) / 79);
  const level = (part: (r: number) => number) => x.map((r) => 10 * Math.log10(part(r) / factor));
  return curvesFigure({
    title: `The ${name} at ${band}`,
    alt: `Direct sound and room of the ${name} over distance. They are equal at ${critical.toFixed(1)} m; at ${distance} m the direct sound is ${signedDecibels(ratio)} relative to the room.`,
    curves: [
      { label: "both", x, y: level((r) => field(r).direct + field(r).diffuse), colour: "@ink" },
      { label: "direct", x, y: level((r) => field(r).direct), colour: `@${name}` },
      { label: "room", x, y: level((r) => field(r).diffuse), colour: "@faint", dash: "dash" },
    ],
    xaxis: linearAxis("Distance from the loudspeaker (m)", 0, upTo),
    yaxis: linearAxis("Level re direct sound at 1 m (dB)", -45, 5, { dtick: 10 }),
    uprights: [{ x: distance, label: "you" }],
  });
}
