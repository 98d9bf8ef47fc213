/** A thread that computes shares of a survey's places: see model-in-parallel.ts. */
import { parentPort, workerData } from "node:worker_threads";
import { computeFreeShares, type SharedModel, shareComputer } from "./model-share";

if (parentPort) {
  const model = workerData as SharedModel;
  computeFreeShares(model, shareComputer(model));
}
