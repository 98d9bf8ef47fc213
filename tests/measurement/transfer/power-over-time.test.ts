import { expect, test } from "vitest";
import { MOMENT, powerOverTime } from "../../../lib/measurement/transfer/power-over-time";

const rate = 5000;
const seconds = 10;
const tone = (f: number, level: number, from = 0, to = seconds) =>
  Float64Array.from({ length: seconds * rate }, (_, n) =>
    n >= from * rate && n < to * rate ? level * Math.sin((2 * Math.PI * f * n) / rate) : 0,
  );

test("a tone has half its amplitude's square in the band that holds it, while it sounds", () => {
  const [low, high] = powerOverTime({ explained: tone(60, 2), rest: tone(1000, 0.5, 4, 6) }, rate, [
    [28, 90],
    [450, 1800],
  ]);
  for (const t of [0, 7, 20, 30]) expect(low.explained[t]).toBeCloseTo(2, 2);
  const at = (second: number) => Math.round(second / MOMENT);
  expect(high.rest[at(5)]).toBeCloseTo(0.125, 3);
  expect(high.rest[at(2)]).toBeLessThan(1e-6);
  expect(high.rest[at(8)]).toBeLessThan(1e-6);
  expect(high.explained[at(5)]).toBeLessThan(1e-6);
});

test("heard is both together: four times the power for the same sound again, none for its opposite", () => {
  const explained = tone(60, 1);
  const [same] = powerOverTime({ explained, rest: tone(60, 1) }, rate, [[28, 90]]);
  expect(same.heard[5]).toBeCloseTo(2, 2);
  const [gone] = powerOverTime({ explained, rest: tone(60, -1) }, rate, [[28, 90]]);
  expect(gone.heard[5]).toBeLessThan(1e-9);
});
