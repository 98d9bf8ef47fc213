/** A thread that computes shares of a survey's places: see model-in-parallel.ts. */
import { parentPort, workerData } from "node:worker_threads";
import { recordGroups } from "../field/waves/low-band";
import { computeFreeShares, type ModelWork, shareComputer } from "./model-share";

if (parentPort) {
  const { model, waves } = workerData as ModelWork;
  if (waves) {
    const places = model.positions.map((p) => p.point);
    try {
      waves.port.postMessage(recordGroups(model.venue, places));
    } finally {
      Atomics.store(waves.state, 0, 1);
      Atomics.notify(waves.state, 0);
    }
  }
  computeFreeShares(model, shareComputer(model));
}
