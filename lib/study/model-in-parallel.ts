/**
 * The model's survey of many places on all of a machine's cores: places do not depend on each other.
 *
 * Threads pay from some hundred places on; each takes about a tenth of a second to start.
 */
import { existsSync } from "node:fs";
import { availableParallelism } from "node:os";
import path from "node:path";
import { Worker } from "node:worker_threads";
import type { Response } from "../acoustics/response";
import { modelFrequencies } from "../field/frequencies";
import { modelSurvey, withWarnings } from "../field/model-survey";
import type { Position, Survey } from "../survey/survey";
import type { Venue } from "../venue/venue";
import {
  computeFreeShares,
  type Group,
  parts,
  SHARE,
  type SharedModel,
  shareComputer,
  slot,
  states,
} from "./model-share";

/**
 * The same as `modelSurvey`, by several threads where that helps: starts the others, and leaves this one free until the
 * survey is wanted.
 *
 * @param venue  the venue
 * @param positions  where to compute
 * @param threads  how many threads at most, this one counted; as many as the machine has cores when left out
 * @returns the function that helps to finish the survey, waits for it and returns it
 */
export function startModel(
  venue: Venue,
  positions: readonly Position[],
  threads = availableParallelism(),
): () => Survey {
  const script = workerScript();
  const count = Math.min(threads, Math.floor(positions.length / LEAST));
  if (count < 2 || !script) return () => modelSurvey(venue, positions);

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
    values: new Float64Array(new SharedArrayBuffer(8 * size)),
    state: new Int32Array(new SharedArrayBuffer(4 * Math.ceil(positions.length / SHARE))),
  };
  // A path leaves many small objects, all short-lived: with room for them the collector comes seldom.
  const resourceLimits = { maxYoungGenerationSizeMb: YOUNG };
  const workers = Array.from(
    { length: count - 1 },
    () => new Worker(script, { workerData: model, resourceLimits }),
  );
  for (const worker of workers) {
    worker.on("error", () => {});
    worker.unref();
  }
  return () => {
    const compute = shareComputer(model);
    computeFreeShares(model, compute);
    model.state.forEach((_, share) => {
      // What a thread failed at, or never says a word of, for want of memory perhaps, is done here.
      Atomics.wait(model.state, share, states.taken, LONGEST);
      if (Atomics.load(model.state, share) !== states.done) compute(share);
    });
    for (const worker of workers) void worker.terminate();
    return surveyOf(model);
  };
}

/** Places per thread below which a thread does not pay. */
const LEAST = 100;
/** Megabytes for objects of a thread that have just been made. */
const YOUNG = 96;
/** Milliseconds for one share. */
const LONGEST = 30_000;

/** The worker's file beside the built library; undefined where the library runs from its sources. */
function workerScript(): string | undefined {
  const built = path.join(__dirname, "..", "..", "dist");
  const files = ["model-worker.js", "model-worker.cjs"].map((name) => path.join(__dirname, name));
  return [...files, path.join(built, "model-worker.js")].find((file) => existsSync(file));
}

function surveyOf(model: SharedModel): Survey {
  const { venue, positions, frequency, groups } = model;
  const responses = (group: number): Response[] =>
    positions.map((_, place) => {
      const [re, im, diffuse, coherence] = parts.map((_part, p) => slot(model, group, place, p));
      return venue.room ? { frequency, re, im, diffuse, coherence } : { frequency, re, im };
    });
  return withWarnings(venue, {
    name: `model of ${venue.name}`,
    quantity: "pressure",
    frequency,
    positions,
    mains: responses(0),
    subs: responses(1),
    ...(groups.includes("fills") && { fills: responses(2) }),
  });
}
