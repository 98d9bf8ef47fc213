import { describe, expect, it } from "vitest";
import { fourierTransform } from "../../../lib/measurement/spectra/fft";
import { type JoinedOptions, joinedAverage } from "../../../lib/measurement/transfer/joined";
import { withReverberantPart } from "../../../lib/measurement/transfer/reverberant";
import { normal } from "../../../lib/numeric/random";

const sampleRate = 8000;
const size = 2 ** 17;
const frequency = Float64Array.from({ length: 40 }, (_, i) => 400 * 2 ** (i / 16));

function pooledResponse(x: Float64Array, y: Float64Array, options: JoinedOptions) {
  const average = joinedAverage(1, sampleRate, options);
  average.feed(x, [y]);
  return average.result();
}

/** One pulse, and a tail that takes 0.8 s to fall by 60 dB and holds three times the pulse's energy. */
function impulseResponse(seed: number): Float64Array {
  const next = normal(seed);
  const tail = Float64Array.from(
    { length: size },
    (_, n) => next() * Math.exp((-Math.log(1000) * n) / (0.8 * sampleRate)),
  );
  const energy = tail.reduce((sum, x) => sum + x * x, 0);
  const h = tail.map((x) => x * Math.sqrt(3 / energy));
  h[0] += 1;
  return h;
}

/** Mean power of the system itself over the frequencies looked at, dB, from its transform: what is to be found. */
function levelOf(h: Float64Array): number {
  const transform = fourierTransform(size);
  transform.re.set(h);
  transform.im.fill(0);
  transform.forward();
  const edge = 2 ** (1 / 32);
  const powers = frequency.map((f) => {
    const bins = [Math.round((f / edge) * (size / sampleRate)), Math.round(f * edge * (size / sampleRate))];
    let sum = 0;
    for (let k = bins[0]; k < bins[1]; k++) sum += transform.re[k] ** 2 + transform.im[k] ** 2;
    return sum / (bins[1] - bins[0]);
  });
  return meanLevel(powers);
}

/** Periodic convolution: every sample of the result is in the steady state. */
function convolved(x: Float64Array, h: Float64Array): Float64Array {
  const transform = fourierTransform(size);
  const spectrum = (values: Float64Array) => {
    transform.re.set(values);
    transform.im.fill(0);
    transform.forward();
    return { re: transform.re.slice(), im: transform.im.slice() };
  };
  const a = spectrum(x);
  const b = spectrum(h);
  a.re.forEach((re, i) => {
    transform.re[i] = re * b.re[i] - a.im[i] * b.im[i];
    transform.im[i] = re * b.im[i] + a.im[i] * b.re[i];
  });
  transform.inverse();
  return transform.re.slice();
}

const noise = (seed: number, level: number) => {
  const next = normal(seed);
  return Float64Array.from({ length: size }, () => level * next());
};
const meanLevel = (power: Float64Array) => 10 * Math.log10(power.reduce((a, b) => a + b, 0) / power.length);
const total = (r: ReturnType<typeof withReverberantPart>) =>
  meanLevel(r.re.map((x, i) => x * x + r.im[i] ** 2 + (r.diffuse?.[i] ?? 0)));

describe("the reverberant part of a measured response", () => {
  const system = impulseResponse(2);
  const whole = levelOf(system);
  const sent = noise(1, 1);
  const heard = convolved(sent, system);
  const noisy = noise(3, 2); // mean square 4, as strong as what is heard

  it("makes up for what the window leaves out", () => {
    const [response] = pooledResponse(sent, heard, { frequency });
    const within = meanLevel(response.re.map((x, i) => x * x + response.im[i] ** 2));
    expect(whole - within).toBeGreaterThan(1.5);
    expect(Math.abs(total(withReverberantPart(response)) - whole)).toBeLessThan(0.3);
  });

  // White noise of unit mean square is sent: the density of noise over it is its mean square.
  const ratio = (meanSquare: number) => new Float64Array(frequency.length).fill(meanSquare);

  it("does not count the noise, where it is known", () => {
    const disturbed = heard.map((x, i) => x + noisy[i]);
    const [response] = pooledResponse(sent, disturbed, { frequency });
    expect(Math.abs(total(withReverberantPart(response, ratio(4))) - whole)).toBeLessThan(0.3);
    // Noise as strong as the signal, unknown: 3 dB too much.
    expect(total(withReverberantPart(response)) - whole).toBeGreaterThan(2.2);
  });

  it("counts sound of the least coherence in full, such as that of short windows in a long decay", () => {
    const windowLengths = [64];
    const [response] = pooledResponse(sent, heard, { frequency, windowLengths });
    const [late] = pooledResponse(sent, heard, {
      frequency,
      windowLengths,
      delays: [0.15],
    });
    expect(Math.max(...late.coherence!)).toBeLessThan(0.05);
    for (const each of [response, late])
      expect(Math.abs(total(withReverberantPart(each)) - whole)).toBeLessThan(0.3);
  });

  it("is never negative", () => {
    const [response] = pooledResponse(sent, noise(5, 1), { frequency });
    expect(Math.min(...withReverberantPart(response, ratio(9)).diffuse!)).toBeGreaterThanOrEqual(0);
  });
});
