/** A thread of a study: see model-in-parallel.ts and dips-in-parallel.ts. */
import { parentPort, workerData } from "node:worker_threads";
import { recordGroups, takeOver } from "../field/waves/low-band";
import { compareAlternatives } from "./alternatives";
import { type DipWork, explainedDips } from "./dip-work";
import { computeFreeShares, type ModelWork, shareComputer } from "./model-share";
import { send } from "./sent";

/** What a thread gets to do. */
export interface ThreadWork {
  readonly model?: ModelWork;
  readonly dips?: DipWork;
}

if (parentPort) {
  const { model, dips } = workerData as ThreadWork;
  if (model) computeModel(model);
  if (dips) {
    takeOver(dips.venue, { cut: dips.cut, recordings: [] });
    send(dips.to, (alive) => explainedDips(dips.survey, dips.venue, alive));
  }
}

function computeModel({ model, waves, layouts }: ModelWork): void {
  if (waves) {
    const places = model.positions.map((p) => p.point);
    send(waves, () => recordGroups(model.venue, places));
  }
  // Layouts last: all else waits for the seats.
  computeFreeShares(model, shareComputer(model));
  if (layouts) send(layouts.to, () => compareAlternatives(model.venue, layouts.settings));
}
