/** What experiments on the model come to for a group of dips. */
import type { CauseKind } from "./elements";
import type { Modelled, Outcome, Sample } from "./experiments";

export interface Evidence {
  readonly filled: readonly Filled[];
  /** Share of the found depth that the model has near there, 0…1. */
  readonly predicted: number;
  /** Root mean square distance in frequency, octaves. */
  readonly shift: number;
  /** Difference of both curves about the dips, dB rms. */
  readonly misfit: number;
  /** The two over all dips of the venue. */
  readonly overall: { readonly predicted: number; readonly misfit: number };
  /** Whether it is of waves, or of paths. */
  readonly byWaves: boolean;
  /** How many dips the group has. */
  readonly count: number;
}

/** How far an element goes to fill the dips. */
export interface Filled {
  readonly kind: CauseKind;
  readonly name: string;
  /** Share of the model's depth that goes with it: 1 fills it, below 0 deepens it. */
  readonly fraction: number;
}

/** What experiments come to, of all groups of a venue together. */
export function evidenceOf(outcomes: readonly Outcome[]): Evidence[] {
  const own = outcomes.map(ownEvidence);
  const mean = (of: (e: (typeof own)[number]) => number) =>
    own.reduce((sum, e) => sum + of(e), 0) / Math.max(1, own.length);
  const overall = { predicted: mean((e) => e.predicted), misfit: mean((e) => e.misfit) };
  return own.map((e) => ({ ...e, overall }));
}

function ownEvidence({ byWaves, elements, dips }: Outcome): Omit<Evidence, "overall"> {
  const total = dips.reduce((sum, d) => sum + d.found_db, 0);
  const over = (of: (dip: Modelled, sample: Sample) => number) =>
    dips.reduce((sum, dip) => {
      const weights = believed(dip);
      const here = dip.samples.reduce((s, sample, i) => s + weights[i] * of(dip, sample), 0);
      return sum + (dip.found_db / total) * here;
    }, 0);
  const octaves = (dip: Modelled, sample: Sample) => Math.log2(sample.frequency_hz / dip.found_hz);
  return {
    filled: elements.map(({ kind, name }, e) => ({
      kind,
      name,
      fraction: over((_, { around_db, left_db }) => {
        const now = Math.max(LEAST, around_db);
        return Math.max(-1, (now - left_db[e]) / now);
      }),
    })),
    predicted: over(predictedBy),
    shift: Math.sqrt(over((dip, sample) => octaves(dip, sample) ** 2)),
    misfit: over((_, { misfit_db }) => misfit_db),
    byWaves,
    count: dips.length,
  };
}

/** A dip of the model shallower than this is none, dB. */
const LEAST = 0.5;

const predictedBy = (dip: Modelled, { depth_db }: Sample): number =>
  Math.min(1, Math.max(0, depth_db) / dip.found_db);

/** How far each sample is believed: as its curve is like what was heard. */
function believed(dip: Modelled): number[] {
  const likelihoods = dip.samples.map((sample) => {
    const level = sample.misfit_db / MISFIT;
    const octaves = Math.log2(sample.frequency_hz / dip.found_hz) / SHIFT;
    return (
      Math.exp(-(level * level + octaves * octaves) / 2) * Math.max(0.02, predictedBy(dip, sample)) + 1e-12
    );
  });
  const total = likelihoods.reduce((sum, x) => sum + x, 0);
  return likelihoods.map((x) => x / total);
}

/** dB rms and octaves by which a drawing's curve strays. */
const MISFIT = 2;
const SHIFT = 0.1;
