// @ts-check
/** The benchmarks that the library's rooms bring along: every TypeScript file beside this one. */
import { readdirSync } from "node:fs";
import { createRequire } from "node:module";
import path from "node:path";
import { inRoot } from "../setup/places.mjs";
import { bundle } from "../setup/run-typescript.mjs";

const require = createRequire(import.meta.url);

/**
 * @typedef {{ name: string, ours_s: number, peer: string, peer_s: number | null, ratio: number | null }} Row  seconds; no peer
 *   where the figure stands alone
 * @typedef {{ name: string, bench: (python: string) => Promise<Row[]> }} Bench  `python` has the peers installed
 *
 * @returns {Promise<Bench[]>}
 */
export async function roomBenches() {
  const files = readdirSync(inRoot("scripts", "bench"), { recursive: true, encoding: "utf8" })
    .filter((file) => file.endsWith(".ts"))
    .sort();
  /** @type {Bench[]} */
  const benches = [];
  for (const file of files) {
    const { bench } = require(await bundle(inRoot("scripts", "bench", file)));
    if (bench) benches.push({ name: path.basename(file, ".ts"), bench });
  }
  return benches;
}
