/**
 * How often each way to answer passes the exercises and capstones whose truth is not the drawing.
 *
 *     node scripts/run.mjs scripts/exam-rates.ts [VARIANTS [ID …]]
 */
import { capstones } from "../lib/lesson/capstones/list";
import { catalogue } from "../lib/lesson/exercises/catalogue";
import { ROOMS } from "../lib/lesson/exercises/truth/truth";
import { kept, type Tried, tryAll } from "./exam-rates/try";
import { ways } from "./exam-rates/ways";

const [count = "200", ...ids] = process.argv.slice(2);
const all = [
  ...capstones.map(({ id }) => id as string),
  ...catalogue.flatMap((e) => ("rooms" in e ? [e.id as string] : [])),
];
console.log(`| | ${ways.join(" | ")} | variants |\n| --- |${ways.map(() => " --- |").join("")} --- |`);
for (const id of ids.length > 0 ? ids : all) {
  const variants = Array.from({ length: Number(count) }, (_, i) => i + 1);
  // One room after the other: what was computed of it is kept.
  variants.sort((a, b) => (a % ROOMS) - (b % ROOMS) || a - b);
  const predict = kept();
  const passed = ways.map(() => 0);
  for (const variant of variants) {
    const marks = tryAll(id, variant, predict);
    ways.forEach((way, k) => {
      const { passed: good, score, words } = marks.get(way) as Tried;
      if (good) passed[k]++;
      if (process.env.EACH) console.error(id, variant, way, score, good, words);
    });
  }
  const share = passed.map((n) => `${((100 * n) / variants.length).toFixed(0)} %`);
  console.log(`| ${id} | ${share.join(" | ")} | ${variants.length} |`);
}
