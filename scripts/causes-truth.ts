/**
 * Causes of dips held against venues that their drawings only resemble: what fills a dip in the model of the drawing is taken away in
 * the venue itself.
 *
 *     node scripts/run.mjs scripts/causes-truth.ts rows FILE FROM TO [STEP [FINER]]   seeds, written line by line
 *     node scripts/run.mjs scripts/causes-truth.ts fit FILE …                          the curves of lib/decision/dips/chances.ts
 *     node scripts/run.mjs scripts/causes-truth.ts tables FILE …                       what became of verdicts
 *     node scripts/run.mjs scripts/causes-truth.ts layouts FROM TO                     layouts chosen by drawings of halls, even seeds
 *
 * FINER is the side of the venue's cubes, of the usual ones.
 */
import { appendFileSync, readFileSync } from "node:fs";
import { fittedCurves } from "./causes-truth/fit";
import { layoutTable, layoutTrial } from "./causes-truth/layouts";
import { tables } from "./causes-truth/tables";
import { type DipTrial, dipTrials, withEvidence } from "./causes-truth/trial";
import { runCommand } from "./setup/setup-error.mjs";

runCommand(() => {
  const [what, ...args] = process.argv.slice(2);
  if (what === "rows") {
    const [file, from, to, step = "1", finer = "1"] = args;
    for (let seed = Number(from); seed < Number(to); seed += Number(step)) {
      const rows = dipTrials(seed, Number(finer));
      for (const row of rows) appendFileSync(file, `${JSON.stringify(row)}\n`);
      console.log(
        `venue ${seed}: ${rows.length} groups of dips, experiments ${rows[0]?.seconds.toFixed(1)} s`,
      );
    }
    return 0;
  }
  if (what === "layouts") {
    const [from, to] = args.map(Number);
    const seeds = Array.from({ length: Math.ceil((to - from) / 2) }, (_, i) => from + 2 * i);
    console.log(layoutTable(seeds.map(layoutTrial)));
    return 0;
  }
  const trials = withEvidence(
    args.flatMap((file): DipTrial[] =>
      readFileSync(file, "utf8")
        .trim()
        .split("\n")
        .map((line) => JSON.parse(line)),
    ),
  );
  console.log(what === "fit" ? fittedCurves(trials) : tables(trials));
  return 0;
});
