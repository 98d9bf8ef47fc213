/**
 * Directivity of a small piston in a rigid sphere: the simplest closed box, whose sound bends round it.
 *
 * The far field is the series Σ (2n + 1) j^(n+1) P_n(cos θ)/h_n′(ka) over spherical Hankel functions of the second kind. A box acts
 * below some 200 Hz much as the sphere of its own volume.
 *
 * @source Morse and Ingard, Theoretical Acoustics, radiation from a sphere (from memory); boxes: boundary elements;
 *   check: tests/acoustics/directivity/sphere.test.ts
 */

/** Amplitudes at the side and straight behind, relative to the axis. */
export interface SideAndBack {
  readonly side: number;
  readonly back: number;
}

/**
 * What a small piston in a rigid sphere sends to its side and straight behind it.
 *
 * @param ka  wave number times the sphere's radius, 0 or more; beyond 3, where cones beam by themselves, as at 3
 * @returns amplitudes relative to that on its axis
 */
export function sphereSides(ka: number): SideAndBack {
  const x = Math.min(ka, MOST);
  if (x < 1e-3) return { side: 1, back: 1 };
  const front = { re: 0, im: 0 };
  const side = { re: 0, im: 0 };
  const back = { re: 0, im: 0 };
  const slopes = hankelSlopes(x);
  let atSide = 1; // P_n(0), which is 0 for odd n
  for (let n = 0; n < ORDERS; n++) {
    // (2n + 1) j^(n+1)/h′, the power of j by quarter turns.
    const { re, im } = slopes[n];
    const size = (2 * n + 1) / (re * re + im * im);
    const [a, b] = turned(size * re, -size * im, n + 1);
    const sign = n % 2 ? -1 : 1;
    front.re += a;
    front.im += b;
    back.re += sign * a;
    back.im += sign * b;
    if (n % 2) continue;
    side.re += atSide * a;
    side.im += atSide * b;
    atSide *= -(n + 1) / (n + 2);
  }
  const onAxis = Math.hypot(front.re, front.im);
  return { side: Math.hypot(side.re, side.im) / onAxis, back: Math.hypot(back.re, back.im) / onAxis };
}

/**
 * The same toward any direction: the parabola in the cosine through front, side and back.
 *
 * @param sides  as `sphereSides` gives them
 * @param ahead  cosine of the angle from the axis, −1…1
 */
export function toward({ side, back }: SideAndBack, ahead: number): number {
  return side + ahead * ((1 - back) / 2 + ahead * ((1 + back) / 2 - side));
}

const MOST = 3;
/** Terms of the series; that of order n goes with (ka)^n/(2n − 1)!!. */
const ORDERS = 12;

/** Derivatives of the spherical Hankel functions of the second kind, j_n − j y_n: upward for y, by Miller's way for j. */
function hankelSlopes(x: number): { re: number; im: number }[] {
  const y = [-Math.cos(x) / x, -Math.cos(x) / (x * x) - Math.sin(x) / x];
  for (let n = 1; n < ORDERS; n++) y.push(((2 * n + 1) / x) * y[n] - y[n - 1]);
  const start = ORDERS + 12;
  const down = new Array<number>(start + 2).fill(0);
  down[start] = 1e-30;
  for (let n = start; n > 0; n--) down[n - 1] = ((2 * n + 1) / x) * down[n] - down[n + 1];
  const scale = Math.sin(x) / x / down[0];
  return Array.from({ length: ORDERS }, (_, n) => {
    const of = (f: (order: number) => number) => (n / x) * f(n) - f(n + 1);
    return { re: of((i) => scale * down[i]), im: -of((i) => y[i]) };
  });
}

/** A complex number times j^n. */
function turned(re: number, im: number, n: number): [number, number] {
  switch (n % 4) {
    case 0:
      return [re, im];
    case 1:
      return [-im, re];
    case 2:
      return [-re, -im];
    default:
      return [im, -re];
  }
}
