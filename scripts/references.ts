/** `npm run references`: makes every reference table anew by its Python script and holds it against the one that tests read. */
import { mkdtempSync, readdirSync, readFileSync, rmSync } from "node:fs";
import { availableParallelism, tmpdir } from "node:os";
import path from "node:path";
import { differences } from "./reference/differences";
import { inRoot } from "./setup/places.mjs";
import { ensurePython, peerEnvironment } from "./setup/python-env.mjs";
import { lastWords, run } from "./setup/run.mjs";
import { runCommand } from "./setup/setup-error.mjs";

runCommand(async () => {
  const python = await ensurePython(peerEnvironment, "numpy, scipy and other peers");
  const fresh = mkdtempSync(path.join(tmpdir(), "evenground-references-"));
  let failed = 0;
  let passed = 0;
  const tell = (what: string, faults: readonly string[]) => {
    if (faults.length === 0) passed++;
    else failed++;
    console.log(`  ${what}: ${faults.length === 0 ? "the same" : faults.slice(0, 5).join("; ")}`);
  };
  try {
    const scripts = readdirSync(inRoot("scripts", "reference")).filter((name) => name.endsWith(".py"));
    /** Takes one after the other from what is left. */
    const worker = async () => {
      for (let script = scripts.shift(); script; script = scripts.shift()) {
        const { code, output } = await run(python, [inRoot("scripts", "reference", script), fresh]);
        if (code !== 0) tell(script, [`failed: ${lastWords(output)}`]);
      }
    };
    await Promise.all(Array.from({ length: availableParallelism() }, worker));
    const made = new Set(filesBelow(fresh));
    const kept = filesBelow(inRoot("tests")).filter(
      (file) => file.split(path.sep).includes("reference") && !file.endsWith(".ts"),
    );
    for (const file of kept.map((name) => path.join("tests", name))) {
      if (!made.delete(file)) tell(file, ["no script in scripts/reference makes it"]);
      else tell(file, differences(file, readFileSync(inRoot(file)), readFileSync(path.join(fresh, file))));
    }
    for (const file of made) tell(file, ["made by a script, but not kept for the tests"]);
  } finally {
    rmSync(fresh, { recursive: true, force: true });
  }
  console.log(`${passed} passed, ${failed} failed`);
  return failed ? 1 : 0;
});

const filesBelow = (folder: string) =>
  readdirSync(folder, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile())
    .map((entry) => path.relative(folder, path.join(entry.parentPath ?? entry.path, entry.name)))
    .sort();
