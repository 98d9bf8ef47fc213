/** One share of a survey's places, computed in a worker thread: see model-in-parallel.ts. */
import { parentPort, workerData } from "node:worker_threads";
import { computeShare, type Share } from "./model-share";

if (parentPort) computeShare(workerData as Share);
