/** Cosine and sine at even steps of a full turn, for hot loops: the phasor sum and the Fresnel integral. */
export const POINTS = 2048;
export const STEP = (2 * Math.PI) / POINTS;
export const COSINE = Float64Array.from({ length: POINTS }, (_, i) => Math.cos(i * STEP));
export const SINE = Float64Array.from({ length: POINTS }, (_, i) => Math.sin(i * STEP));
