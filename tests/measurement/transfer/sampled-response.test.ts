import { expect, test } from "vitest";
import { thirdOctaves } from "../../../lib/acoustics/bands/bands";
import { fourierTransform } from "../../../lib/measurement/spectra/fft";
import { samplingVariance } from "../../../lib/measurement/transfer/sampled-response";
import { normal } from "../../../lib/numeric/random";

const rate = 512;
const size = 8192;
const band = thirdOctaves(50, 63).slice(1);
const decay = 1.4;

/** Notes of a few pitches, one after the other, each dying away. */
const notes = () => {
  const out = new Float64Array(size);
  for (let k = 0; k < 30; k++)
    for (let n = 0; n < rate / 2; n++)
      out[(k * rate) / 2 + n] +=
        Math.sin((2 * Math.PI * [58, 65, 61.5][k % 3] * n) / rate) * Math.exp((-5 * n) / rate);
  return out;
};
const noise = () => {
  const next = normal(1);
  return Float64Array.from({ length: size }, next);
};
const impulse = () => Float64Array.from({ length: size }, (_, n) => (n === 100 ? 1 : 0));

function powerOf(samples: Float64Array): Float64Array {
  const { re, im, forward } = fourierTransform(size);
  re.fill(0);
  im.fill(0);
  re.set(samples);
  forward();
  return Float64Array.from({ length: size / 2 }, (_, k) => re[k] ** 2 + im[k] ** 2);
}

/** Power of rooms (noise that dies away) in the band as the lines of a signal weigh it, over its power evenly: the variance over many. */
function varianceOverRooms(sent: Float64Array, window: number): number {
  const step = rate / size;
  const lines = powerOf(sent);
  const reach = Math.round(1.2 / window / step);
  const [first, last] = [Math.ceil(band[0].lower / step), Math.floor(band[0].upper / step)];
  const weights: number[] = [];
  for (let k = first; k <= last; k++) {
    const around = lines.slice(k - reach, k + reach + 1);
    weights.push(lines[k] / (around.reduce((a, b) => a + b, 0) / around.length));
  }
  const total = weights.reduce((a, b) => a + b, 0);
  const next = normal(5);
  const rooms = 400;
  let [sum, squares] = [0, 0];
  for (let r = 0; r < rooms; r++) {
    const room = powerOf(
      Float64Array.from({ length: 2 * rate }, (_, n) => next() * 10 ** ((-3 * n) / rate / decay)),
    ).slice(first, last + 1);
    const even = room.reduce((a, b) => a + b, 0) / room.length;
    const weighed = room.reduce((s, p, i) => s + p * weights[i], 0) / total;
    // Relative to the mean over all rooms, which is 1 / (1 − 10^(−6 / rate / decay)).
    const off = (weighed - even) * (1 - 10 ** (-6 / rate / decay));
    sum += off;
    squares += off * off;
  }
  return squares / rooms - (sum / rooms) ** 2;
}

test("the variance of a band through the lines of a signal is that over many rooms", () => {
  for (const [sent, window] of [
    [notes(), 0.3],
    [notes(), 1.2],
    [noise(), 1.2],
  ] as const) {
    const [found] = samplingVariance(sent, rate, band, { decay, window });
    const expected = varianceOverRooms(sent, window);
    // 400 rooms tell a variance within some 15 % (two standard errors).
    expect(found / expected).toBeGreaterThan(0.75);
    expect(found / expected).toBeLessThan(1.33);
  }
});

test("an impulse leaves nothing out; notes leave out more than noise, and the more the longer a room rings", () => {
  const at = (sent: Float64Array, seconds: number) =>
    samplingVariance(sent, rate, band, { decay: seconds, window: 1.2 })[0];
  expect(at(impulse(), 2)).toBeLessThan(1e-6);
  expect(at(notes(), 1)).toBeGreaterThan(2 * at(noise(), 1));
  expect(at(notes(), 2)).toBeGreaterThan(at(notes(), 0.7));
});

test("is nothing where nothing rings", () => {
  expect(samplingVariance(notes(), rate, band, { decay: 0, window: 1.2 })).toEqual(
    new Float64Array(band.length),
  );
});
