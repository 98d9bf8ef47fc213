/**
 * Search for layouts of the subs within limits: what else could stand there.
 */

import { type Ranked, survivors, tournament } from "../../numeric/nsga2";
import { addToPareto, crowdingDistance } from "../../numeric/pareto";
import { uniform } from "../../numeric/random";
import type { Source, Venue } from "../../venue/venue";
import { groundSteps, type LayoutContext } from "./context";
import { type LayoutEvaluator, layoutEvaluator, type Trial, unitOf } from "./evaluate";
import { cabinetsOf, crossed, type Gene, keyOf, mutated, randomGenes } from "./genes";
import { type LayoutLimits, type LayoutSpace, layoutSpace } from "./limits";
import { searchReasons } from "./search-reasons";
import type {
  ChosenCabinet,
  LayoutAim,
  LayoutChoice,
  LayoutSearchProgress,
  LayoutSearchResult,
  SearchCallbacks,
  SearchLayoutsOptions,
} from "./search-result";
import { transferSteps } from "./transfer";

/**
 * Searches for layouts of the subs within limits and keeps the best trade-offs: those that nothing tried beats in all aims.
 *
 * Each candidate is judged at the level offset that suits the audience best. The field of every place where a cabinet may stand
 * is computed once; a candidate is a sum of them. Candidates that need more than the headroom lose to all that do not. What
 * hangs is a matter for people qualified in rigging.
 *
 * @param venue  the venue with its mains; its subs only lend cabinet and filters where the limits leave them open
 * @param limits  what may be put up: positions, metres; number of cabinets; delays, seconds; gains, dB
 * @param options  aims, number of candidates, seed, seats; `onProgress` and `stop`
 * @returns the Pareto front of all that was tried, with reasons: figures in dB, delays in milliseconds
 * @throws RangeError when a limit or an option makes no sense
 * @source NSGA-II: Deb, Pratap, Agarwal and Meyarivan, IEEE Trans. Evol. Comput. 6 (2002), 182-197; check: tests/decision/layouts/search.test.ts
 * @example
 * const cellar = read.venue("ombrik-cellar");
 * const strip = { name: "floor", from: { x: 0.5, y: -3, z: 0.3 }, to: { x: 0.5, y: 3, z: 0.3 } };
 * const limits = { positions: [strip], count: [2, 4], mirror: true } as const;
 * const seats = venues.seats(cellar, { count: 12 });
 * decide.searchLayouts(cellar, limits, { candidates: 50, positions: seats }).tried // 50
 */
export function searchLayouts(
  venue: Venue,
  limits: LayoutLimits,
  options: SearchLayoutsOptions & SearchCallbacks = {},
): LayoutSearchResult {
  const { onProgress, stop } = options;
  const search = layoutSearch(venue, limits, options);
  for (;;) {
    const next = search.next();
    if (next.done) return next.value;
    onProgress?.(next.value);
    if (stop?.()) {
      const best = next.value.best();
      if (best) return best;
    }
  }
}

/**
 * The same search in steps, for a page or a command that must stay awake between them.
 *
 * @returns a generator of progress, each with the best so far; its return value is the whole result
 */
export function* layoutSearch(
  venue: Venue,
  limits: LayoutLimits,
  options: SearchLayoutsOptions = {},
): Generator<LayoutSearchProgress, LayoutSearchResult, void> {
  const { candidates = 5000, seed = 1, generation = 100, keep = 30 } = options;
  if (!(Number.isInteger(candidates) && candidates >= 1)) {
    throw new RangeError(`candidates is ${candidates}, expected a whole number of 1 or more`);
  }
  if (!(Number.isInteger(generation) && generation >= 4)) {
    throw new RangeError(`generation is ${generation}, expected a whole number of 4 or more`);
  }
  if (!(Number.isInteger(keep) && keep >= 4)) {
    throw new RangeError(`keep is ${keep}, expected a whole number of 4 or more`);
  }
  const space = layoutSpace(venue, limits);
  const aims = aimsFor(venue, options);
  const early = (step: "mains" | "positions", fraction: number): LayoutSearchProgress => ({
    step,
    fraction,
    tried: 0,
    kept: 0,
    best: () => null,
  });
  const context = yield* mapped(groundSteps(venue, options), (fraction) => early("mains", fraction));
  const positions = [...context.positions, ...context.stage].map((p) => p.point);
  const transfers = yield* mapped(transferSteps(venue, space.units, positions, options), (fraction) =>
    early("positions", fraction),
  );
  const evaluator = layoutEvaluator(context, transfers, space, options);
  const state = newState(evaluator, space, aims, seed);
  const result = (finished: boolean): LayoutSearchResult =>
    resultOf({ venue, context, space, state, aims, seed, finished, limits, keep });
  let parents: Ranked<Rated>[] = [];
  while (state.tried < candidates && !state.exhausted) {
    const children: Rated[] = [];
    while (children.length < generation && state.tried < candidates && !state.exhausted) {
      const child = offspring(parents, state);
      if (child) children.push(child);
    }
    parents = survivors([...parents.map((p) => p.one), ...children], generation);
    yield {
      step: "layouts",
      fraction: state.tried / candidates,
      tried: state.tried,
      kept: state.pareto.length,
      best: () => result(false),
    };
  }
  return result(true);
}

/** A candidate with what it achieved. */
interface Rated {
  readonly genes: readonly Gene[];
  readonly trial: Trial;
  readonly aims: readonly number[];
  readonly violation: number;
  /** Number of cabinets: of two that do the same, the smaller layout is kept. */
  readonly effort: number;
}

interface State {
  readonly evaluator: LayoutEvaluator;
  readonly space: LayoutSpace;
  readonly chance: () => number;
  readonly rate: (trial: Trial) => number[];
  readonly seen: Set<string>;
  /** Of those within the headroom. */
  readonly pareto: Rated[];
  /** What came nearest to the headroom, for want of anything within it. */
  nearest?: Rated;
  tried: number;
  /** True once nothing new turns up. */
  exhausted: boolean;
}

function newState(
  evaluator: LayoutEvaluator,
  space: LayoutSpace,
  aims: readonly LayoutAim[],
  seed: number,
): State {
  return {
    evaluator,
    space,
    chance: uniform(seed),
    rate: (trial) => aims.map((aim) => rounded(figures[aim](trial))),
    seen: new Set(),
    pareto: [],
    tried: 0,
    exhausted: false,
  };
}

const figures: Record<LayoutAim, (trial: Trial) => number> = {
  evenness: (t) => t.deviation_db,
  "front row": (t) => t.frontRow_db,
  stage: (t) => t.spill_db ?? 0,
  level: (t) => -t.level_db,
};

/** To a twentieth of a decibel: nobody hears less, and mirror images and other twins then count as the same. */
const rounded = (x: number): number => Math.round(20 * x) / 20;

/** After so many draws without a new candidate there is hardly one left. */
const PATIENCE = 2000;

/** A new candidate, tried; undefined when chance found none. */
function offspring(parents: readonly Ranked<Rated>[], state: State): Rated | undefined {
  const { space, chance, seen } = state;
  for (let attempt = 0; attempt < PATIENCE; attempt++) {
    const genes =
      parents.length < 2 || attempt > 20 || chance() < FRESH
        ? randomGenes(space, chance)
        : bred(tournament(parents, chance).genes, tournament(parents, chance).genes, state);
    const count = cabinetsOf(genes, space);
    if (count < space.count[0] || count > space.count[1]) continue;
    const key = keyOf(genes);
    if (seen.has(key)) continue;
    seen.add(key);
    return rate(genes, state);
  }
  state.exhausted = true;
  return undefined;
}

/** Share of candidates made anew, so that the search never settles wholly. */
const FRESH = 0.05;

function bred(a: readonly Gene[], b: readonly Gene[], { space, chance }: State): Gene[] {
  const child = chance() < 0.7 ? crossed(a, b, space, chance) : [...a];
  return chance() < 0.9 ? mutated(child, space, chance) : child;
}

function rate(genes: readonly Gene[], state: State): Rated {
  const trial = state.evaluator.evaluate(genes);
  state.tried++;
  const violation = Math.max(0, trial.loudest_db - state.space.headroom);
  const rated = { genes, trial, aims: state.rate(trial), violation, effort: cabinetsOf(genes, state.space) };
  if (violation === 0) addToPareto(state.pareto, rated);
  else if (!state.nearest || violation < state.nearest.violation) state.nearest = rated;
  return rated;
}

function aimsFor(venue: Venue, { aims }: SearchLayoutsOptions): readonly LayoutAim[] {
  const wanted = aims ?? ["evenness", "front row", ...(venue.stage ? (["stage"] as const) : [])];
  if (wanted.length === 0) throw new RangeError("aims is empty, expected one or more");
  for (const aim of wanted) {
    if (!(aim in figures)) {
      throw new RangeError(
        `aims names "${aim}", expected ${Object.keys(figures)
          .map((a) => `"${a}"`)
          .join(", ")}`,
      );
    }
  }
  if (wanted.includes("stage") && !venue.stage) {
    throw new RangeError(
      `aims names "stage", but "${venue.name}" has none: say where performers stand, or leave it out`,
    );
  }
  return wanted;
}

interface Found {
  readonly venue: Venue;
  readonly context: LayoutContext;
  readonly space: LayoutSpace;
  readonly state: State;
  readonly aims: readonly LayoutAim[];
  readonly seed: number;
  readonly finished: boolean;
  readonly limits: LayoutLimits;
  readonly keep: number;
}

function resultOf(found: Found): LayoutSearchResult {
  const { venue, context, state, aims, seed, finished, limits, space, keep } = found;
  const within = state.pareto.length > 0;
  const set = within ? spreadOut(state.pareto, keep) : state.nearest ? [state.nearest] : [];
  set.sort(
    (a, b) => a.trial.deviation_db - b.trial.deviation_db || (keyOf(a.genes) < keyOf(b.genes) ? -1 : 1),
  );
  const choices = set.map((one, i) => choiceOf(one, letters(i), state, limits));
  const result = {
    venue: venue.name,
    aims,
    seed,
    seats: context.positions.length,
    tried: state.tried,
    finished,
    found: state.pareto.length,
    choices,
  };
  return { ...result, reasons: searchReasons(result, { within, headroom: space.headroom }) };
}

function choiceOf(
  { genes }: Rated,
  name: string,
  { evaluator, space }: State,
  limits: LayoutLimits,
): LayoutChoice {
  const trial = evaluator.evaluate(genes);
  const sources = genes.flatMap((gene): Source[] =>
    space.units[unitOf(gene, space)].sources.map((s) => ({
      ...s,
      gain: space.gains[gene.gain],
      delay: space.delays[gene.delay],
      polarity: space.polarities[gene.polarity],
    })),
  );
  const kinds = genes.flatMap((gene) => {
    const { zone, flown, sources: own } = space.units[unitOf(gene, space)];
    return own.map(() => ({ zone, flown, kind: limits.kinds?.[gene.kind].name ?? "sub" }));
  });
  return {
    name,
    cabinets: sources.map(
      (s, i): ChosenCabinet => ({
        ...kinds[i],
        point: s.point,
        gain_db: s.gain,
        delay_ms: s.delay * 1000,
        polarity: s.polarity,
      }),
    ),
    ...trial,
    audience: evaluator.audience(),
    layout: { sources: sources.map((s, i) => ({ ...s, id: `${name} ${i + 1}` })), warnings: [] },
  };
}

/** So many of a set, the loneliest: the ends of every aim are among them. One is taken out at a time, as each leaves a gap. */
function spreadOut(set: readonly Rated[], keep: number): Rated[] {
  const left = [...set];
  while (left.length > keep) {
    const crowding = crowdingDistance(left.map((one) => one.aims));
    left.splice(crowding.indexOf(Math.min(...crowding)), 1);
  }
  return left;
}

/** A … Z, AA, AB, … */
function letters(i: number): string {
  const last = String.fromCharCode(65 + (i % 26));
  return i < 26 ? last : letters(Math.floor(i / 26) - 1) + last;
}

function* mapped<A, B, R>(steps: Generator<A, R, void>, to: (a: A) => B): Generator<B, R, void> {
  for (;;) {
    const next = steps.next();
    if (next.done) return next.value;
    yield to(next.value);
  }
}
