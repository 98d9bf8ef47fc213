/** A whole study from the command line: a show's recordings, 2,000 seats, all decisions and its reports, in a process of its own. */
import { spawnSync } from "node:child_process";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { inventShow } from "../study/invent-show";
import { median, timed } from "./peer-process";
import type { BenchRow } from "./transfer-function";

const runs = 5;
const root = join(__dirname, "..", "..");

/**
 * Times the study; nothing else does the same, so it stands alone.
 *
 * @throws Error when the study ends with an error
 */
export async function bench(): Promise<
  (Omit<BenchRow, "peer_s" | "ratio"> & { peer_s: null; ratio: null })[]
> {
  const folder = mkdtempSync(join(tmpdir(), "study-"));
  try {
    const positions = ["row A", "row D", "row H", "row L", "row P", "row T", "balcony front", "mix position"];
    inventShow(
      join(folder, "show"),
      positions.map((position, i) => [position, { gain: (i % 3) / 5 }]),
    );
    const args = [join(root, "scripts", "study.mjs"), join(folder, "show"), "--out", join(folder, "results")];
    const study = () => spawnSync(process.execPath, args);
    const seconds = Array.from({ length: runs }, () => {
      const { seconds, value } = timed(study);
      if (value.status !== 0) throw new Error(`the study failed:\n${value.stdout}${value.stderr}`);
      return seconds;
    });
    const name = "study of a show, eight microphones, 2,000 seats, with reports";
    return [{ name, ours_s: median(seconds), peer: "", peer_s: null, ratio: null }];
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}
