/**
 * Verifications held against halls of another library: a setting is entered in rooms by pyroomacoustics, with one slip or none, and
 * mains and subs are recorded once more.
 *
 *     node scripts/run.mjs scripts/verification-truth.ts [SEED [HALLS [FIRST [FOLDER]]]]
 *
 * With a FOLDER its halls are kept there, or studied where they are there already.
 */
import { existsSync, mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import path from "node:path";
import { measureShow } from "../lib/study/measure";
import { readShow } from "../lib/study/read-show";
import { enteredOf } from "../lib/study/verification/entered";
import { verify } from "../lib/study/verification/verify";
import { generate } from "./halls/generate";
import { ensurePython, peerEnvironment } from "./setup/python-env.mjs";
import { runCommand } from "./setup/setup-error.mjs";
import { type Case, type Row, rightly, tableOf } from "./verification-truth/report";

runCommand(async () => {
  const [seed = "2031", halls = "10", first = "0", kept] = process.argv.slice(2);
  const folder = kept ?? mkdtempSync(path.join(tmpdir(), "evenground-verifications-"));
  const rows: Row[] = [];
  try {
    const python = await ensurePython(peerEnvironment, "numpy, scipy and other peers");
    const numbers = Array.from({ length: Number(halls) }, (_, k) => Number(first) + k);
    const make = async (number: number) => {
      const hall = path.join(folder, String(number).padStart(4, "0"));
      if (existsSync(path.join(hall, "verifications.json"))) return hall;
      mkdirSync(folder, { recursive: true });
      await generate(python, folder, Number(seed), { first: number, count: 1, verify: true });
      return hall;
    };
    let next = make(numbers[0]);
    for (const [k, number] of numbers.entries()) {
      const hall = await next;
      if (k + 1 < numbers.length) {
        next = make(numbers[k + 1]);
        next.catch(() => {});
      }
      rows.push(...studied(hall));
      if (!kept) rmSync(hall, { recursive: true });
      console.log(
        `hall ${number}: ${readdirSync(folder).length} kept, ${rows.filter((r) => r.isRight).length} of ${rows.length} right so far`,
      );
    }
  } finally {
    if (!kept) rmSync(folder, { recursive: true, force: true });
  }
  console.log(`\n${tableOf(rows)}`);
  return 0;
});

function studied(hall: string): Row[] {
  const { cases } = JSON.parse(readFileSync(path.join(hall, "verifications.json"), "utf8")) as {
    readonly cases: readonly Case[];
  };
  return cases.map(({ name, show: file, expected }) => {
    const show = readShow(path.join(hall, file));
    const { survey, after, problems } = measureShow(show);
    if (!survey || !after) throw new Error(`${hall}: ${problems.join("; ")}`);
    const found = verify(survey, after, enteredOf(show.file.verification!.entered!), 2);
    const isRight = rightly(found, expected);
    if (!isRight)
      console.log(
        `  ${path.basename(hall)} ${file} ${name} ${JSON.stringify(expected)}: ${found.state}\n    ${found.reasons.join("\n    ")}`,
      );
    return {
      name,
      isRight,
      isAlone: found.causes.length < 2,
      isReached: found.state === "reached",
      isPlanted: expected !== null,
    };
  });
}
