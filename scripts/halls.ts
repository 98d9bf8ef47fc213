/**
 * `npm run halls [-- --count N] [--faults N] [--seed S]`: shows in halls that are not of this project's model, made by
 * pyroomacoustics and scipy, studied and held against what is true of them.
 */
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import path from "node:path";
import { type Batch, faultKinds, generate, showsIn } from "./halls/generate";
import { type HallsOptions, readHallsOptions } from "./halls/options";
import { breakdown, criteria, faultsFound, told } from "./halls/report";
import { type Row, rowOf } from "./halls/row";
import { ensurePython, peerEnvironment } from "./setup/python-env.mjs";
import { runCommand } from "./setup/setup-error.mjs";

const BATCH = 10;

runCommand(async () => {
  const options = readHallsOptions(process.argv.slice(2));
  if (!options) return 0;
  const rows: Row[] = [];
  const study = (folder: string) => {
    const row = rowOf(folder);
    rows.push(row);
    console.log(lineOf(row));
  };
  if (options.shows) for (const folder of showsIn(options.shows)) study(folder);
  else await studyNew(options, study);
  const healthy = rows.filter(({ truth }) => !truth.fault);
  const spoilt = rows.filter(({ truth }) => truth.fault);
  if (options.json) writeFileSync(options.json, JSON.stringify(rows, null, 1));
  const held = healthy.length ? [...criteria(healthy)] : [];
  if (healthy.length) console.log(`\n${breakdown(healthy)}`);
  if (spoilt.length) {
    const { table, criterion } = faultsFound(spoilt);
    console.log(`\n${table}`);
    held.push(criterion);
  }
  console.log(`\n${held.map(told).join("\n")}`);
  const failed = held.filter(({ holds }) => !holds).length;
  console.log(`${held.length - failed} passed, ${failed} failed`);
  return failed ? 1 : 0;
});

/** Healthy shows by the ten, then those with each fault. */
function batchesOf({ count, faults }: HallsOptions, kinds: number): Batch[] {
  const healthy = Array.from({ length: Math.ceil(count / BATCH) }, (_, k) => ({
    first: k * BATCH,
    count: Math.min(BATCH, count - k * BATCH),
  }));
  const spoilt = Array.from({ length: faults ? kinds : 0 }, (_, fault) => ({
    first: 100_000 + 1000 * fault,
    count: faults,
    fault,
  }));
  return [...healthy, ...spoilt];
}

/** Makes shows, batch by batch, the next while one is studied, and throws them away unless they are to be kept. */
async function studyNew(options: HallsOptions, study: (folder: string) => void): Promise<void> {
  const { seed, keep } = options;
  const python = await ensurePython(peerEnvironment, "numpy, scipy and other peers");
  const batches = batchesOf(options, faultKinds(python));
  const folder = keep ?? mkdtempSync(path.join(tmpdir(), "evenground-halls-"));
  const start = (k: number) => {
    const own = path.join(folder, String(k).padStart(3, "0"));
    mkdirSync(own, { recursive: true });
    const made = generate(python, own, seed, batches[k]);
    made.catch(() => {}); // is told where it is awaited
    return made;
  };
  try {
    let next = start(0);
    for (let k = 0; k < batches.length; k++) {
      const shows = await next;
      if (k + 1 < batches.length) next = start(k + 1);
      for (const show of shows) {
        study(show);
        if (!keep) rmSync(show, { recursive: true });
      }
    }
  } finally {
    if (!keep) rmSync(folder, { recursive: true, force: true });
  }
}

function lineOf({
  folder,
  truth,
  expected,
  kept,
  error_db,
  half_db,
  inside,
  untrue,
  found,
  seconds,
}: Row): string {
  if (truth.fault)
    return `${path.basename(folder)}  ${truth.fault}: ${found ? "found" : "MISSED"}, ${seconds.toFixed(1)} s`;
  const error =
    error_db === undefined
      ? "no offset"
      : `${error_db.toFixed(2)} ± ${half_db?.toFixed(2)} dB${inside ? "" : " OUT"}`;
  return `${path.basename(folder)}  ${truth.volume_m3.toFixed(0)} m³ ${truth.decay_s.toFixed(1)} s ${truth.signal} ${truth.snr_db.toFixed(0)} dB${truth.noise_floor ? " floor" : ""}${truth.both ? " both" : ""}: kept ${kept} of ${expected}, ${error}, untrue ${untrue.length}, ${seconds.toFixed(1)} s`;
}
