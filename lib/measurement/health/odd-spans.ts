/**
 * Parts of a recording that are unlike the rest: a lorry passes, somebody talks, a fan runs down, a loudspeaker falls silent.
 *
 * Music varies by itself, so that no level is compared: what follows from the signal is taken away first, and what is left is steady
 * in a steady place, however the signal goes. A part is odd where twice as much is left as elsewhere, and only where that matters
 * for the levels of the whole.
 */
import { MOMENT, type PowerOverTime } from "../transfer/power-over-time";

/** Seconds of a recording. */
export interface Span {
  readonly from: number;
  readonly to: number;
}

/** A part that is odd, and what it does. */
export interface OddSpan extends Span {
  /** Of several microphones, which heard it, from 0. */
  readonly microphones: readonly number[];
  /** Power of what is odd over that of the sound in the whole recording, where it does most. */
  readonly excess: number;
  /** Whether something was heard besides, or the sound was gone. */
  readonly kind: "more" | "less";
}

/** Of what follows from the signal, so much may be left for want of a perfect response. */
const IMPERFECT = 0.05;
/** Of what is usual, so much more is odd. */
const ODD = 2;
/** Relative to the power of the sound over the whole recording, about 0.05 dB: less is of no account. */
const MATTERS = 0.012;
/** Moments on either side of one that it is averaged with. */
const BESIDE = 2;
/** A part is taken so much longer at either end, seconds; parts nearer than that to each other are one. */
const MARGIN = 0.75;

/**
 * The odd parts that matter.
 *
 * @param microphones  powers over time in each band of each microphone
 * @param which  all of them, or only the worst: the response is the better without those, and may acquit the others
 * @returns in order of time, apart from each other
 * @source own way, no outside source; check: tests/measurement/health/odd-spans.test.ts
 */
export function oddSpans(
  microphones: readonly (readonly PowerOverTime[])[],
  which: "all" | "worst" = "all",
): OddSpan[] {
  const found = microphones.flatMap((bands, microphone) =>
    bands.flatMap((band) => spansIn(band, which).map((span) => ({ ...span, microphones: [microphone] }))),
  );
  return joined(found);
}

function spansIn(band: PowerOverTime, which: "all" | "worst"): Omit<OddSpan, "microphones">[] {
  const usual = usualRest(band);
  const excess = band.rest.map((rest, t) => strange(band, rest, t));
  const smooth = excess.map((_, t) => meanAround(excess, t));
  // An error of the response goes with the sound: the worst is what is loud beside the sound.
  const beside = smooth.map((x, t) => (x - usual[t]) / (usual[t] + meanAround(band.explained, t) || 1));
  const least = which === "worst" ? beside.reduce((most, x) => Math.max(most, x), 0) / 4 : 0;
  const odd = smooth.map((x, t) => (x > ODD * usual[t] && beside[t] >= least ? 1 : 0));
  let [extra, sound] = [0, 0];
  odd.forEach((is, t) => {
    sound += band.explained[t];
    if (is) extra += Math.max(0, excess[t] - usual[t]);
  });
  if (!(extra > MATTERS * sound)) return [];
  const spans: Omit<OddSpan, "microphones">[] = [];
  for (let t = 0; t < odd.length; t++) {
    if (!odd[t]) continue;
    const first = t;
    let change = 0;
    for (; odd[t]; t++) change += band.heard[t] - band.explained[t];
    // A moment looks at twice its length.
    const [from, to] = [Math.max(0, first * MOMENT - MARGIN), (t + 1) * MOMENT + MARGIN];
    spans.push({ from, to, excess: extra / sound, kind: change < 0 ? "less" : "more" });
  }
  return spans;
}

/**
 * What can't follow from the signal: noise adds to the power that was heard, and a loss takes from it. A rest that does neither comes of
 * air that moves or clocks that drift, and is as loud as ever.
 */
function strange({ explained, heard }: PowerOverTime, rest: number, t: number): number {
  const more = heard[t] - explained[t];
  return more < -0.5 * explained[t] ? rest : Math.max(0, Math.min(rest, more));
}

/** The rest to be expected at each moment, from the quieter third of all and from the signal at that moment. */
function usualRest({ rest, explained }: PowerOverTime): Float64Array {
  const base = Float64Array.from(rest).sort()[Math.floor(0.3 * rest.length)] ?? 0;
  return explained.map((_, t) => base + IMPERFECT * meanAround(explained, t));
}

function meanAround(values: Float64Array, t: number): number {
  const part = values.subarray(Math.max(0, t - BESIDE), t + BESIDE + 1);
  return part.reduce((a, b) => a + b, 0) / part.length;
}

function joined(spans: readonly OddSpan[]): OddSpan[] {
  const out: OddSpan[] = [];
  for (const span of [...spans].sort((a, b) => a.from - b.from)) {
    const last = out[out.length - 1];
    if (!last || span.from > last.to + MARGIN) {
      out.push(span);
      continue;
    }
    const leading = span.excess > last.excess ? span : last;
    out[out.length - 1] = {
      ...leading,
      from: last.from,
      to: Math.max(last.to, span.to),
      microphones: [...new Set([...last.microphones, ...span.microphones])].sort((a, b) => a - b),
    };
  }
  return out;
}
