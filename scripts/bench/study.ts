/** A whole study from the command line: a show's recordings, 2,000 seats, all decisions and its reports, in a process of its own. */
import { spawnSync } from "node:child_process";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { median, timed } from "./peer-process";
import type { BenchRow } from "./transfer-function";

const runs = 3;
const root = join(__dirname, "..", "..");

/**
 * Times the study; nothing else does the same, so it stands alone.
 *
 * @throws Error when the study ends with an error
 */
export async function bench(): Promise<
  (Omit<BenchRow, "peer_s" | "ratio"> & { peer_s: null; ratio: null })[]
> {
  const out = mkdtempSync(join(tmpdir(), "study-"));
  const show = join(root, "data", "shows", "harbour-theatre", "show.json");
  try {
    const study = () => spawnSync(process.execPath, [join(root, "scripts", "study.mjs"), show, "--out", out]);
    const seconds = Array.from({ length: runs }, () => {
      const { seconds, value } = timed(study);
      if (value.status !== 0) throw new Error(`the study failed:\n${value.stdout}${value.stderr}`);
      return seconds;
    });
    const name = "study of a show, six microphones, 2,000 seats, with reports";
    return [{ name, ours_s: median(seconds), peer: "", peer_s: null, ratio: null }];
  } finally {
    rmSync(out, { recursive: true, force: true });
  }
}
