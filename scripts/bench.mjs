// @ts-check
/**
 * `npm run bench [-- --json FILE] [--fresh] [--only WORD]`: what takes time, beside what others take for the same, in
 * the same run on the same machine.
 */
import { writeFileSync } from "node:fs";
import path from "node:path";
import { readBenchOptions } from "./bench/options.mjs";
import { ensureLibrary } from "./setup/library.mjs";
import { requireNode } from "./setup/node-version.mjs";
import { ensureNpmPackages } from "./setup/npm-packages.mjs";
import { ensurePython, peerEnvironment } from "./setup/python-env.mjs";
import { runCommand } from "./setup/setup-error.mjs";

runCommand(async () => {
  requireNode();
  const values = readBenchOptions(process.argv.slice(2));
  if (!values) return;
  await ensureNpmPackages();
  await ensureLibrary();
  const python = await ensurePython(peerEnvironment, "numpy, scipy and other peers");
  const { roomBenches } = await import("./bench/rooms.mjs");
  const { startUpBenches } = await import("./bench/start-up.mjs");
  const { freshBenches } = await import("./bench/fresh.mjs");
  const { machine } = await import("./bench/machine.mjs");

  // Where these are set, they hold numpy to an older processor's code: right for results, unfair for times.
  for (const name of ["OPENBLAS_CORETYPE", "OPENBLAS_L2_SIZE"]) delete process.env[name];

  const benches = [...(await roomBenches()), ...startUpBenches(), ...(values.fresh ? freshBenches() : [])];
  const rows = [];
  for (const { name, bench } of benches.filter((one) => one.name.includes(values.only))) {
    console.log(`${name} …`);
    for (const row of await bench(python)) {
      rows.push({ ...row, machine });
      console.log(`  ${tell(row)}`);
    }
  }
  console.log(`\n${machine}\n${rows.map(tell).join("\n")}`);
  if (values.json) {
    const file = path.resolve(process.env.INIT_CWD ?? process.cwd(), values.json);
    writeFileSync(file, `${JSON.stringify(rows, null, 2)}\n`);
  }
});

/** @param {import("./bench/rooms.mjs").Row} row */
function tell({ name, ours_s, peer, peer_s, ratio }) {
  const times = `${name.padEnd(62)} ${seconds(ours_s)}`;
  if (peer_s === null || ratio === null) return times;
  return `${times}   ${peer.padEnd(34)} ${seconds(peer_s)}   ours takes ${ratio.toFixed(2)} of it`;
}

/** @param {number} value */
const seconds = (value) => `${value < 1 ? value.toFixed(3) : value.toFixed(2)} s`.padStart(9);
