import { expect, test } from "vitest";
import { logGrid } from "../../../lib/acoustics/bands/bands";
import { fourierTransform } from "../../../lib/measurement/spectra/fft";
import { joinedAverage } from "../../../lib/measurement/transfer/joined";
import { withReverberantPart } from "../../../lib/measurement/transfer/reverberant";
import { thirdOctaveLevels } from "../../../lib/measurement/transfer/third-octave-levels";
import { normal } from "../../../lib/numeric/random";
import { list, of } from "./few-samples";

const rate = 4000;
const size = 2 ** 16;

/** Periodic convolution and the power of the system itself, by one transform of each. */
function hall(seed: number) {
  const next = normal(seed);
  const h = Float64Array.from(
    { length: size },
    (_, n) => next() * Math.exp((-Math.log(1000) * n) / (1.2 * rate)),
  );
  h[0] += 20;
  const sent = Float64Array.from({ length: size }, next);
  const spectrum = (values: Float64Array) => {
    const transform = fourierTransform(size);
    transform.re.set(values);
    transform.im.fill(0);
    transform.forward();
    return { re: transform.re.slice(), im: transform.im.slice() };
  };
  const [system, signal] = [spectrum(h), spectrum(sent)];
  const truth = system.re.map((re, k) => re * re + system.im[k] ** 2);
  const out = fourierTransform(size);
  signal.re.forEach((re, k) => {
    out.re[k] = re * system.re[k] - signal.im[k] * system.im[k];
    out.im[k] = re * system.im[k] + signal.im[k] * system.re[k];
  });
  out.inverse();
  return { sent, heard: out.re.slice(), truth };
}

function pooled(sent: Float64Array, heard: Float64Array) {
  const average = joinedAverage(1, rate, { frequency: logGrid(20, 1800, 162) });
  average.feed(sent, [heard]);
  return average.result()[0];
}

test("the band holds the level of a decay's whole response in a third octave about as often as it says", () => {
  let [held, all] = [0, 0];
  for (let seed = 1; seed <= 20; seed++) {
    const { sent, heard, truth } = hall(seed);
    const response = withReverberantPart(pooled(sent, heard));
    for (const { band, lower, upper } of thirdOctaveLevels(response, { from: 50, to: 1000 })) {
      // Mean over log frequency of the power of the impulse response, bin by bin.
      let [sum, total] = [0, 0];
      for (let k = Math.ceil((band.lower * size) / rate); (k * rate) / size < band.upper; k++) {
        sum += truth[k] / k;
        total += 1 / k;
      }
      const level = 10 * Math.log10(sum / total);
      if (lower <= level && level <= upper) held++;
      all++;
    }
  }
  expect(all).toBe(280);
  // 280 of 0.95 scatter by 1.3 %; neighbouring bands are not quite independent.
  expect(Math.abs(held / all - 0.95)).toBeLessThan(0.045);
});

test("the level is that of coherent and reverberant part together, with twice their standard error by hand", () => {
  const f = Array.from({ length: 400 }, (_, i) => 800 * 1.001 ** i);
  const fill = (x: number) => list(...f.map(() => x));
  const [{ level, lower, upper }] = thirdOctaveLevels(
    of(f, [...fill(1)], undefined, { diffuse: fill(3), powerError: fill(1) }),
    { from: 900, to: 1100 },
  );
  expect(level).toBeCloseTo(10 * Math.log10(4), 9);
  // 230 frequencies of a thousandth in a third octave (ln 10/10): 1/4 of the power each, by √230 less together, 1.96 times.
  const half = (1.96 * 0.25) / Math.sqrt(230.4);
  expect(upper - level).toBeCloseTo(10 * Math.log10(1 + half), 2);
  expect(lower - level).toBeCloseTo(10 * Math.log10(1 - half), 2);
  expect(() => thirdOctaveLevels(of(f, f))).toThrow(/no error of its power/);
});
