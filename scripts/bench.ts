/**
 * `npm run bench [-- --json FILE] [--fresh] [--only WORD]`: what takes time, beside what others take for the same, in
 * the same run on the same machine.
 */
import { writeFileSync } from "node:fs";
import { bench as delay } from "./bench/delay";
import { bench as field } from "./bench/field";
import { bench as fresh } from "./bench/fresh";
import { bench as layouts } from "./bench/layouts";
import { machine } from "./bench/machine";
import { bench as offset } from "./bench/offset";
import { readBenchOptions } from "./bench/options";
import type { Row } from "./bench/rows";
import { bench as slider } from "./bench/slider";
import { course, firstFigure } from "./bench/start-up";
import { bench as study } from "./bench/study";
import { bench as transferFunction } from "./bench/transfer-function";
import { bench as waves } from "./bench/waves";
import { ensurePython, peerEnvironment } from "./setup/python-env.mjs";
import { runCommand } from "./setup/setup-error.mjs";

const benches: { readonly [name: string]: (python: string) => Promise<Row[]> } = {
  delay,
  field,
  layouts,
  offset,
  slider,
  study,
  "transfer-function": transferFunction,
  waves,
  "first-figure": firstFigure,
  course,
  fresh,
};

runCommand(async () => {
  const options = readBenchOptions(process.argv.slice(2));
  if (!options) return;
  const python = await ensurePython(peerEnvironment, "numpy, scipy and other peers");
  // Where these are set, they hold numpy to an older processor's code: right for results, unfair for times.
  for (const name of ["OPENBLAS_CORETYPE", "OPENBLAS_L2_SIZE"]) delete process.env[name];

  const rows: (Row & { machine: string })[] = [];
  for (const [name, bench] of Object.entries(benches)) {
    if (!name.includes(options.only) || (name === "fresh" && !options.fresh)) continue;
    console.log(`${name} …`);
    for (const row of await bench(python)) {
      rows.push({ ...row, machine });
      console.log(`  ${tell(row)}`);
    }
  }
  console.log(`\n${machine}\n${rows.map(tell).join("\n")}`);
  if (options.json) writeFileSync(options.json, `${JSON.stringify(rows, null, 2)}\n`);
});

function tell({ name, ours_s, peer, peer_s, ratio }: Row): string {
  const times = `${name.padEnd(62)} ${seconds(ours_s)}`;
  if (peer_s === null || ratio === null) return times;
  return `${times}   ${peer.padEnd(34)} ${seconds(peer_s)}   ours takes ${ratio.toFixed(2)} of it`;
}

const seconds = (value: number) => `${value < 1 ? value.toFixed(3) : value.toFixed(2)} s`.padStart(9);
