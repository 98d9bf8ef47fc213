/**
 * Makes the invented recordings of a show in data/shows/ from its venue's model: `ts-node scripts/make-show.ts`.
 *
 * They are committed, so a fresh clone can study the show at once; run this again when the venue or the model changes.
 */
import path from "node:path";
import { inventShow } from "./study/invent-show";

const folder = path.resolve(__dirname, "..", "data", "shows", "harbour-theatre");
const seconds = inventShow(folder, [
  ["row A", { gain: 0.3 }],
  ["row D", { gain: -0.4 }],
  ["row H", { gain: 0.1 }],
  ["row L", { gain: -1.4 }],
  ["row T", { gain: 0.2 }],
  ["mix position", { gain: 0 }],
]);
console.log(`${folder}: ${seconds.toFixed(1)} s each`);
