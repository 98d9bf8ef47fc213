/** A thread that computes shares of a survey's places, and before them what the study will ask for: see model-in-parallel.ts. */
import { parentPort, workerData } from "node:worker_threads";
import { recordGroups } from "../field/waves/low-band";
import { compareAlternatives } from "./alternatives";
import { computeFreeShares, type ModelWork, shareComputer } from "./model-share";
import { send } from "./sent";

if (parentPort) {
  const { model, waves, layouts } = workerData as ModelWork;
  if (waves) {
    const places = model.positions.map((p) => p.point);
    send(waves, () => recordGroups(model.venue, places));
  }
  if (layouts) send(layouts.to, () => compareAlternatives(model.venue, layouts.settings));
  computeFreeShares(model, shareComputer(model));
}
