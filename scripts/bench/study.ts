/**
 * A whole study from the command line: a show's recordings, 2,000 seats, all decisions and its reports, in a process of its own. And
 * what its recordings alone take.
 */
import { spawnSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { measureShow } from "../../lib/study/measure";
import { readShow } from "../../lib/study/read-show";
import { inRoot } from "../setup/places.mjs";
import { inventShow } from "../study/invent-show";
import { alone, medians, type Row, timed } from "./rows";

/**
 * Times both; nothing else does the same, so they stand alone.
 *
 * @throws Error when the study ends with an error
 */
export async function bench(): Promise<Row[]> {
  const folder = mkdtempSync(join(tmpdir(), "study-"));
  try {
    const positions = ["row A", "row D", "row H", "row L", "row P", "row T", "balcony front", "mix position"];
    inventShow(
      join(folder, "show"),
      positions.map((position, i) => [position, { gain: (i % 3) / 5 }]),
    );
    const [, ...command] = JSON.parse(readFileSync(inRoot("package.json"), "utf8")).scripts.study.split(" ");
    const args = [...command, join(folder, "show"), "--out", join(folder, "results")];
    const study = () =>
      timed(
        () => spawnSync(process.execPath, args, { cwd: inRoot() }),
        ({ status, stdout, stderr }) => {
          if (status !== 0) throw new Error(`the study failed:\n${stdout}${stderr}`);
        },
      );
    const show = readShow(join(folder, "show"));
    const [whole, measuring] = await medians([study, () => timed(() => measureShow(show))], 5);
    return [
      alone("study of a show, eight microphones, 2,000 seats, with reports", whole),
      alone("measuring it", measuring),
    ];
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}
