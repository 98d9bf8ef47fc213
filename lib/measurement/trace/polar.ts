/**
 * Level and phase as a trace file writes them, and the complex number they stand for.
 */

/** Level in dB re 1 and phase in degrees. */
export interface Polar {
  readonly magnitudeDb: number;
  readonly phaseDeg: number;
}

/**
 * Complex number of a level and a phase. Multiples of 90° come out exact.
 *
 * @param magnitudeDb  20 lg of the magnitude, dB; −Infinity is 0
 * @param phaseDeg     degrees
 */
export function fromPolar(magnitudeDb: number, phaseDeg: number): { re: number; im: number } {
  const magnitude = 10 ** (magnitudeDb / 20);
  const turn = ((phaseDeg % 360) + 360) % 360;
  if (turn % 90 === 0) {
    const quarter = turn / 90;
    return { re: magnitude * [1, 0, -1, 0][quarter], im: magnitude * [0, 1, 0, -1][quarter] };
  }
  const radians = (phaseDeg % 360) * (Math.PI / 180);
  return { re: magnitude * Math.cos(radians), im: magnitude * Math.sin(radians) };
}

/**
 * Level and phase of a complex number, phase within ±180°.
 *
 * @param re  real part
 * @param im  imaginary part
 */
export function toPolar(re: number, im: number): Polar {
  return { magnitudeDb: 20 * Math.log10(Math.hypot(re, im)), phaseDeg: Math.atan2(im, re) * (180 / Math.PI) };
}

/**
 * Level and phase in as few digits as give the very complex number back through `fromPolar`.
 *
 * @returns the pair, or undefined where no level and phase in double precision do
 */
export function shortestPolar(re: number, im: number): Polar | undefined {
  const full = toPolar(re, im);
  if (Object.is(re, 0) && Object.is(im, 0)) return { magnitudeDb: -Infinity, phaseDeg: 0 };
  for (let digits = 1; digits <= 17; digits++) {
    const magnitudeDb = Number(full.magnitudeDb.toPrecision(digits));
    const phaseDeg = Number(full.phaseDeg.toPrecision(digits));
    const back = fromPolar(magnitudeDb, phaseDeg);
    if (Object.is(back.re, re) && Object.is(back.im, im)) return { magnitudeDb, phaseDeg };
  }
  return undefined;
}
