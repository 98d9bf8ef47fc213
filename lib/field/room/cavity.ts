/**
 * A deep cavity, such as the space under a stage, as what its opening does to the field before it.
 *
 * Inside, the sound goes to the closed end and back as on a transmission line of depth L. The end and the losses
 * on the way keep √(1 − α) of its pressure, so at the opening pressure over velocity, in units of ρc, is
 *
 *     z = (1 + √(1−α) e^{-2jkL}) / (1 − √(1−α) e^{-2jkL}),    −j cot kL without losses.
 *
 * Outside, the air in the opening moves like a piston: it pushes the hall's air, which answers with the radiation
 * impedance z_r (its reactance is the end correction, its resistance the sound sent back out). Closed by a hard
 * lid, the opening would feel the pressure of the incoming wave p and its reflection, (1 + R) p with R that of the
 * wall around. Opened, it moves by Thévenin's theorem with u = (1 + R) p/(z + z_r), against which the lid's field
 * changes by what the piston radiates. For a large opening and incidence at angle θ that is −u/cos θ on the way of
 * the mirror image; for a small one the finite-size factor turns this into the wave of a small source in the
 * opening. So the opening adds, to the image path of the wall that it is cut from,
 *
 *     −(1 + R) / (cos θ (z + z_r)) · F,
 *
 * and where nothing surrounds it, it reflects 1 − 2/(cos θ (z + z_r)). With z_r = 1/cos θ, an endless opening,
 * this is the plane wave's (z cos θ − 1)/(z cos θ + 1). Where z + z_r is small, near kL = π/2 with the end
 * correction, the opening turns the reflection round and pulls the pressure before it down: the quarter-wave dip.
 * At kL = π it is as a hard wall.
 *
 * Limits: one wave along the depth, so the opening's height must be below half a wavelength; sideways the cavity
 * counts as if partitioned (locally reacting), so modes along a wide stage are not there; the piston moves evenly
 * over the opening.
 *
 * @source own derivation from line theory and Thévenin's theorem; Kuttruff, Room Acoustics, reflection of a
 *   locally reacting wall (from memory); check: tests/field/room/cavity.test.ts
 */
export interface Impedance {
  readonly re: number;
  readonly im: number;
}

/**
 * Impedance at the mouth of a closed line, in units of ρc.
 *
 * @param k  wave number, radians per metre
 * @param depth  metres
 * @param absorption  energy lost at the end and on the way there and back, 0…1
 */
export function lineImpedance(k: number, depth: number, absorption: number): Impedance {
  const reflectionFactor = Math.min(Math.sqrt(1 - absorption), MOST_KEPT);
  const x = reflectionFactor * Math.cos(2 * k * depth);
  const y = -reflectionFactor * Math.sin(2 * k * depth);
  return divide({ re: 1 + x, im: y }, { re: 1 - x, im: -y });
}

/** No line is without loss; so close to 1 the impedance stays finite. */
const MOST_KEPT = 1 - 1e-9;

/**
 * Radiation impedance of a rectangular piston in an endless baffle, in units of ρc.
 *
 *     z_r = jk/(2πS) ∬∬ e^{-jkR}/R dS dS'
 *
 * All pairs of points at distance ρ in direction φ fill (a − ρ cos φ)(b − ρ sin φ); the 1/R cancels against the ρ
 * of polar coordinates, the integral over ρ is done in closed form, that over φ by Gauss-Legendre.
 *
 * @param k  wave number, radians per metre, > 0
 * @param width  metres, > 0
 * @param height  metres, > 0
 * @returns about (k²S/2π) + jkδ where small against the wavelength, 1 where large
 * @source Rayleigh's integral; closed form in part as in Morse and Ingard, Theoretical Acoustics (from memory)
 */
export function radiationImpedance(k: number, width: number, height: number): Impedance {
  const corner = Math.atan2(height, width);
  let re = 0;
  let im = 0;
  for (const [from, to] of [
    [0, corner],
    [corner, Math.PI / 2],
  ]) {
    const panels = 1 + Math.ceil((k * Math.max(width, height)) / 40);
    for (let p = 0; p < panels; p++) {
      const a = from + ((to - from) * p) / panels;
      const half = (to - from) / (2 * panels);
      for (const [node, weight] of GAUSS) {
        const phi = a + half * (1 + node);
        const cos = Math.cos(phi);
        const sin = Math.sin(phi);
        const end = from === 0 ? width / cos : height / sin;
        const part = radial(k, end, width * height, width * sin + height * cos, sin * cos);
        re += half * weight * part.re;
        im += half * weight * part.im;
      }
    }
  }
  // 4 quadrants of directions; jk/(2πS) before all.
  const factor = (2 * k) / (Math.PI * width * height);
  return { re: -factor * im, im: factor * re };
}

/** ∫₀ᴿ (A − Bρ + Cρ²) e^{-jkρ} dρ, by parts; by series where kR is so small that the closed form cancels. */
function radial(k: number, end: number, a: number, b: number, c: number): Impedance {
  const x = k * end;
  if (x < 0.5) return radialSeries(k, end, a, b, c);
  const cos = Math.cos(x);
  const sin = Math.sin(x);
  // Moments M_n = ∫ ρ^n e^{-jkρ}: M_n = (j/k) (R^n e^{-jkR} − n M_{n−1}), M_0 = (j/k)(e^{-jkR} − 1).
  const m0 = { re: sin / k, im: (cos - 1) / k };
  const m1 = timesJ({ re: end * cos - m0.re, im: -end * sin - m0.im }, k);
  const m2 = timesJ({ re: end * end * cos - 2 * m1.re, im: -end * end * sin - 2 * m1.im }, k);
  return { re: a * m0.re - b * m1.re + c * m2.re, im: a * m0.im - b * m1.im + c * m2.im };
}

function radialSeries(k: number, end: number, a: number, b: number, c: number): Impedance {
  const sum = [0, 0];
  // (−jkρ)^n/n! integrated with each power of ρ; even n are real, odd imaginary.
  let term = 1;
  for (let n = 0; n < 14; n++) {
    const moment = end * (a / (n + 1) - (b * end) / (n + 2) + (c * end * end) / (n + 3));
    const sign = n % 4 === 0 || n % 4 === 3 ? 1 : -1;
    sum[n % 2] += sign * term * moment;
    term *= (k * end) / (n + 1);
  }
  return { re: sum[0], im: sum[1] };
}

/** j z/k */
function timesJ(z: Impedance, k: number): Impedance {
  return { re: -z.im / k, im: z.re / k };
}

export function divide(a: Impedance, b: Impedance): Impedance {
  const square = b.re * b.re + b.im * b.im;
  return { re: (a.re * b.re + a.im * b.im) / square, im: (a.im * b.re - a.re * b.im) / square };
}

/** Gauss-Legendre with 12 points on −1…1. */
const GAUSS: readonly (readonly [number, number])[] = [
  [0.1252334085114689, 0.2491470458134028],
  [0.3678314989981802, 0.2334925365383548],
  [0.5873179542866175, 0.2031674267230659],
  [0.7699026741943047, 0.1600783285433462],
  [0.9041172563704749, 0.1069393259953184],
  [0.9815606342467192, 0.0471753363865118],
].flatMap(([node, weight]) => [
  [node, weight],
  [-node, weight],
]) as [number, number][];
