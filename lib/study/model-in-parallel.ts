/**
 * The model's survey of many places on all of a machine's cores: places do not depend on each other.
 *
 * Threads pay from some hundred places on; each takes about a tenth of a second to start.
 */
import type { Response } from "../acoustics/response";
import type { LayoutComparison } from "../decision/layouts/compare-result";
import type { OffsetOptions } from "../decision/offset/result";
import { modelFrequencies } from "../field/frequencies";
import { firstOfPaths, wavesOf } from "../field/hand-over";
import { modelSurvey, responder, responseOf, withWarnings } from "../field/model-survey";
import { noWaves, takeOver, type WaveRecordings } from "../field/waves/low-band";
import type { Position, Survey } from "../survey/survey";
import type { Venue } from "../venue/venue";
import { compareAlternatives } from "./alternatives";
import {
  computeFreeShares,
  type Group,
  type ModelWork,
  parts,
  SHARE,
  type SharedModel,
  shareComputer,
  slot,
  states,
} from "./model-share";
import { LONGEST, sent } from "./sent";
import { startThread, threadsHere } from "./threads";

/** A survey under way. */
export interface StartedModel {
  /** Waits for the waves of the venue's groups, which this thread then has for other places as well. */
  awaitWaves(): void;
  /** Helps to finish the survey, and waits for it. */
  finish(): Survey;
  /** Waits for the comparison of the venue's layouts, where it has any. */
  layouts(): LayoutComparison | undefined;
}

/**
 * The same as `modelSurvey`, by several threads where that helps: starts the others, and leaves this one free until the
 * survey is wanted.
 *
 * @param venue  the venue
 * @param positions  where to compute
 * @param settings  by which layouts are compared
 * @param threads  how many threads at most, this one counted; as many as the machine has cores when left out
 */
export function startModel(
  venue: Venue,
  positions: readonly Position[],
  settings: OffsetOptions = {},
  threads = threadsHere(),
): StartedModel {
  const count = Math.min(threads, Math.floor(positions.length / LEAST));
  const compare = () => compareAlternatives(venue, settings);
  if (count < 2) return { awaitWaves() {}, finish: () => modelSurvey(venue, positions), layouts: compare };

  const frequency = modelFrequencies();
  const groups: Group[] = [
    "mains",
    "subs",
    ...(venue.sources.some((s) => s.group === "fills") ? (["fills"] as const) : []),
  ];
  const size = groups.length * positions.length * parts.length * frequency.length;
  const model: SharedModel = {
    venue,
    positions,
    frequency,
    groups,
    from: noWaves(venue) ? 0 : firstOfPaths(frequency),
    values: new Float64Array(new SharedArrayBuffer(8 * size)),
    state: new Int32Array(new SharedArrayBuffer(4 * Math.ceil(positions.length / SHARE))),
  };
  const waves = noWaves(venue) ? undefined : sent<WaveRecordings>();
  const compared = sent<LayoutComparison | undefined>();
  const workers = Array.from({ length: count - 1 }, (_, i) => {
    if (i > 0) return startThread({ model: { model } });
    const first: ModelWork = {
      model,
      ...(waves && { waves: waves.sender }),
      layouts: { settings, to: compared.sender },
    };
    return startThread({ model: first }, [compared.sender.port, ...(waves ? [waves.sender.port] : [])]);
  });
  let waiting = waves;
  const awaitWaves = (): void => {
    // Where they never come, this thread computes them when they are asked for.
    const came = waiting?.take();
    if (came) takeOver(venue, came.value);
    waiting = undefined;
  };
  const finish: StartedModel["finish"] = () => {
    awaitWaves();
    const compute = shareComputer(model);
    computeFreeShares(model, compute);
    model.state.forEach((_, share) => {
      // What a thread failed at, or never says a word of, for want of memory perhaps, is done here.
      Atomics.wait(model.state, share, states.taken, LONGEST);
      if (Atomics.load(model.state, share) !== states.done) compute(share);
    });
    return surveyOf(model);
  };
  const layouts = (): LayoutComparison | undefined => {
    const comparison = compared.take();
    for (const worker of workers) void worker.terminate();
    return comparison ? comparison.value : compare();
  };
  return { awaitWaves, finish, layouts };
}

/** Places per thread below which a thread does not pay. */
const LEAST = 100;
function surveyOf(model: SharedModel): Survey {
  const { venue, positions, frequency, groups, from } = model;
  const places = positions.map((p) => p.point);
  const responses = (group: number): Response[] => {
    const sources = venue.sources.filter((s) => s.group === groups[group]);
    const waves = noWaves(venue) ? undefined : wavesOf(venue, sources, places, { frequency, cavities: true });
    let byPaths: ReturnType<typeof responder> | undefined;
    return positions.map(({ point }, place) => {
      const low = waves?.(point);
      if (!low && from > 0) {
        byPaths ??= responder(venue, groups[group], [], { frequency, lowBand: "paths" });
        return byPaths(point);
      }
      const [re, im, diffuse] = parts.map((_part, p) => slot(model, group, place, p));
      return responseOf(frequency, re, im, venue.room ? diffuse : undefined, low);
    });
  };
  return withWarnings(
    venue,
    {},
    {
      name: `model of ${venue.name}`,
      quantity: "pressure",
      frequency,
      positions,
      mains: responses(0),
      subs: responses(1),
      ...(groups.includes("fills") && { fills: responses(2) }),
    },
  );
}
