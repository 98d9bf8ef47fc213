/** Starts Python to make shows (generate.py), so that it works on the next ones while these are studied. */
import { spawn, spawnSync } from "node:child_process";
import { existsSync, readdirSync } from "node:fs";
import path from "node:path";
import { inRoot } from "../setup/places.mjs";

/** What generate.py takes: numbers of shows from `first` on, healthy or with a fault of the list in faults.py. */
export interface Batch {
  readonly first: number;
  readonly count: number;
  readonly fault?: number;
  /** Whether to tell what is true at seats where no microphone stands. */
  readonly seats?: boolean;
  /** Whether to record once more after a setting was entered, with each slip that may happen. */
  readonly verify?: boolean;
}

/** Makes a batch in a folder. @returns the shows' folders */
export function generate(python: string, folder: string, seed: number, batch: Batch): Promise<string[]> {
  const { first, count, fault, seats, verify } = batch;
  const args = [
    inRoot("scripts", "halls", "generate.py"),
    folder,
    first,
    count,
    seed,
    ...(seats ? ["seats"] : verify ? ["verify"] : fault === undefined ? [] : [fault]),
  ];
  // One thread: the other cores study.
  const env = {
    ...process.env,
    OMP_NUM_THREADS: "1",
    OPENBLAS_NUM_THREADS: "1",
    PYTHONDONTWRITEBYTECODE: "1",
  };
  const child = spawn(python, args.map(String), { stdio: ["ignore", "ignore", "pipe"], env });
  let said = "";
  child.stderr.on("data", (data) => {
    said += data;
  });
  return new Promise((resolve, reject) => {
    child.on("error", reject);
    child.on("exit", (code) => {
      if (code === 0) resolve(showsIn(folder));
      else reject(new Error(`generate.py ended with ${code}:\n${said.slice(-2000)}`));
    });
  });
}

/** How many kinds of faults there are. */
export function faultKinds(python: string): number {
  const { stdout } = spawnSync(python, [inRoot("scripts", "halls", "faults.py")], { encoding: "utf8" });
  return stdout.trim().split("\n").length;
}

export const showsIn = (folder: string) =>
  readdirSync(folder)
    .sort()
    .map((name) => path.join(folder, name))
    .filter((show) => existsSync(path.join(show, "truth.json")));
