// Reference: finite differences in numpy on cubes of 0.1 m, themselves held against exact solutions, see
// scripts/reference/field_waves.py.
import { describe, expect, test } from "vitest";
import { levelInBand } from "../../../lib/acoustics/response";
import { modelSurvey } from "../../../lib/field/model-survey";
import reference from "../reference/field_waves.json";
import { at, source } from "../venues";
import { type Hall, point, venueOf } from "./halls";

/** Sixteen lines to a third octave, so that no resonance falls between them. */
const frequency = Float64Array.from({ length: 160 }, (_, i) => 18 * 10 ** ((i + 0.5) / 160));

/** Median and 90th percentile of what the default cells may be off, dB. */
const MEDIAN = 0.25;
const NINTH = 0.6;

describe("the low band by waves beside finite differences of another hand", () => {
  for (const hall of reference.halls) {
    test(hall.name, () => {
      const off = differences(hall);
      reference.thirdOctaves.forEach((f, k) => {
        if (process.env.SHOW_DEVIATIONS)
          console.log(hall.name, f, off.map((row) => row[k].toFixed(2)).join(" "));
      });
      const all = Float64Array.from(off.flat().map(Math.abs)).sort();
      if (process.env.SHOW_DEVIATIONS)
        console.log(quantileOf(all, 0.5), quantileOf(all, 0.9), all[all.length - 1]);
      expect(quantileOf(all, 0.5)).toBeLessThan(MEDIAN);
      expect(quantileOf(all, 0.9)).toBeLessThan(NINTH);
    });
  }
});

/** Model less reference, dB: of each ear, by third octave. */
function differences(hall: Hall): number[][] {
  const sub = source(point(hall.sub), { level: { frequency: [1000], level: [94] } });
  const survey = modelSurvey(
    venueOf(hall, { sources: [sub] }),
    hall.ears.map(([x, y, z]) => at(x, y, z)),
    {
      frequency,
      lowBand: "waves",
    },
  );
  return hall.ears.map((_, e) =>
    reference.thirdOctaves.map((f, k) => {
      const middle = 1000 * 10 ** (Math.round(10 * Math.log10(f / 1000)) / 10);
      return (
        levelInBand(survey.subs[e], middle * 10 ** -0.05, middle * 10 ** 0.05, 1.0023745) - hall.levels[e][k]
      );
    }),
  );
}

const quantileOf = (sorted: Float64Array, share: number): number =>
  sorted[Math.round(share * (sorted.length - 1))];
