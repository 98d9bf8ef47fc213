/**
 * `node scripts/run.mjs scripts/walk-truth.ts SEED HALLS`: walks through halls of pyroomacoustics, held against what stands still there.
 */
import { spawnSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import path from "node:path";
import type { Show } from "../lib/study/read-show";
import { hearWalk } from "../lib/study/walk";
import { inRoot } from "./setup/places.mjs";
import { ensurePython, peerEnvironment } from "./setup/python-env.mjs";
import { runCommand } from "./setup/setup-error.mjs";

interface Made {
  readonly y: number;
  readonly z: number;
  readonly marks: readonly { readonly x: number; readonly at: number }[];
  /** Each 12.5 cm. */
  readonly truth: { readonly x: number[]; readonly low: number[]; readonly mid: number[] };
}

runCommand(async () => {
  const [seed = "1", halls = "6"] = process.argv.slice(2);
  const python = await ensurePython(peerEnvironment, "numpy, scipy and other peers");
  const folder = mkdtempSync(path.join(tmpdir(), "evenground-walks-"));
  const made = spawnSync(python, [inRoot("scripts", "halls", "walk.py"), folder, seed, halls], {
    stdio: "inherit",
  });
  if (made.status !== 0) return 1;
  const errors: { low: number; mid: number; balance: number; point: number; stated: number }[] = [];
  for (let k = 0; k < Number(halls); k++) errors.push(...errorsOf(folder, `walk-${k}`));
  rmSync(folder, { recursive: true });
  const rms = (of: (e: (typeof errors)[number]) => number) =>
    Math.sqrt(errors.reduce((sum, e) => sum + of(e) ** 2, 0) / errors.length);
  const within = errors.filter(({ balance, stated }) => Math.abs(balance) < 1.645 * stated).length;
  console.log(`${errors.length} points of ${halls} walks, RMS error, dB:`);
  console.log(`low ${rms((e) => e.low).toFixed(2)}, mid ${rms((e) => e.mid).toFixed(2)} over a metre`);
  console.log(
    `balance ${rms((e) => e.balance).toFixed(2)} over a metre, ${rms((e) => e.point).toFixed(2)} at the point`,
  );
  console.log(
    `stated ${rms((e) => e.stated).toFixed(2)}; ${((100 * within) / errors.length).toFixed(0)} % of the balances lie within their 90 % interval`,
  );
  return 0;
});

function errorsOf(folder: string, name: string) {
  const { y, z, marks, truth }: Made = JSON.parse(readFileSync(path.join(folder, `${name}.json`), "utf8"));
  const walk = {
    recording: `${name}.wav`,
    reference: 1,
    microphone: 2,
    marks: marks.map(({ x, at }) => ({ position: `${x}`, at })),
  };
  const venue = { positions: marks.map(({ x }) => ({ id: `${x}`, point: { x, y, z } })) };
  const show = { file: { takes: [], walks: [walk] }, venue, folder, fileName: "show.json" };
  const { points } = hearWalk(show as unknown as Show, walk, 0, []);
  return points.map(({ point, low_db, mid_db, error_db }) => {
    const near = truth.x.flatMap((x, i) => (Math.abs(x - point.x) <= 0.5 ? [i] : []));
    const mean = (levels: readonly number[]) =>
      10 * Math.log10(near.reduce((sum, i) => sum + 10 ** (levels[i] / 10), 0) / near.length);
    const at = truth.x.reduce(
      (best, x, i) => (Math.abs(x - point.x) < Math.abs(truth.x[best] - point.x) ? i : best),
      0,
    );
    const balance = low_db - mid_db - (mean(truth.low) - mean(truth.mid));
    return {
      low: low_db - mean(truth.low),
      mid: mid_db - mean(truth.mid),
      balance,
      point: low_db - mid_db - (truth.low[at] - truth.mid[at]),
      stated: error_db,
    };
  });
}
