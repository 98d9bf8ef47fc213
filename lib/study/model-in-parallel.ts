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
import { modelSurvey } from "../field/model-survey";
import type { Position, Survey } from "../survey/survey";
import type { Venue } from "../venue/venue";
import { computeShare, type Group, parts, type Share, type SharedResponses, slot } from "./model-share";

/**
 * The same as `modelSurvey`, by several threads where that helps.
 *
 * @param venue  the venue
 * @param positions  where to compute
 * @param threads  how many threads at most, this one counted; as many as the machine has cores when left out
 */
export function modelInParallel(
  venue: Venue,
  positions: readonly Position[],
  threads = availableParallelism(),
): Survey {
  const script = workerScript();
  const count = Math.min(threads, Math.floor(positions.length / LEAST));
  if (count < 2 || !script) return modelSurvey(venue, positions);

  const frequency = modelFrequencies();
  const groups: Group[] = [
    "mains",
    "subs",
    ...(venue.sources.some((s) => s.group === "fills") ? (["fills"] as const) : []),
  ];
  const size = groups.length * positions.length * parts.length * frequency.length;
  const memory: SharedResponses = {
    values: new Float64Array(new SharedArrayBuffer(8 * size)),
    places: positions.length,
    groups,
    frequencies: frequency.length,
  };
  const shares = Array.from({ length: count }, (_, i): Share => {
    const first = Math.round((i * positions.length) / count);
    const end = Math.round(((i + 1) * positions.length) / count);
    const done = new Int32Array(new SharedArrayBuffer(4));
    return { venue, positions: positions.slice(first, end), frequency, first, memory, done };
  });
  const [own, ...others] = shares;
  const workers = others.map((share) => new Worker(script, { workerData: share }));
  for (const worker of workers) worker.on("error", () => {});
  computeShare(own);
  for (const share of others) {
    // A thread that never says a word, for want of memory perhaps, must not hang the study: its share is done here.
    if (Atomics.wait(share.done, 0, 0, LONGEST) === "timed-out" || share.done[0] !== 1) computeShare(share);
  }
  for (const worker of workers) void worker.terminate();
  if (own.done[0] !== 1) return modelSurvey(venue, positions); // throws what the share ran into
  return surveyOf(venue, positions, frequency, memory);
}

/** Places per thread below which a thread does not pay. */
const LEAST = 100;
/** Milliseconds. */
const LONGEST = 120_000;

/** The worker's file beside the built library; undefined where the library runs from its sources. */
function workerScript(): string | undefined {
  const beside = path.join(__dirname, "model-worker.js");
  const built = path.join(__dirname, "..", "..", "dist", "model-worker.js");
  return [beside, built].find((file) => existsSync(file));
}

function surveyOf(
  venue: Venue,
  positions: readonly Position[],
  frequency: Float64Array,
  memory: SharedResponses,
): Survey {
  const responses = (group: number): Response[] =>
    positions.map((_, place) => {
      const [re, im, diffuse, coherence] = parts.map((_part, p) => slot(memory, group, place, p));
      return venue.room ? { frequency, re, im, diffuse, coherence } : { frequency, re, im };
    });
  return {
    name: `model of ${venue.name}`,
    quantity: "pressure",
    frequency,
    positions,
    mains: responses(0),
    subs: responses(1),
    ...(memory.groups.includes("fills") && { fills: responses(2) }),
  };
}
