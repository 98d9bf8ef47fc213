/**
 * How often each way to answer passes the exercises and capstones whose truth is not the drawing.
 *
 *     node scripts/run.mjs scripts/exam-rates.ts [VARIANTS [ID …]]
 *
 * VARIANTS is how many from 1 on, or the first and the last of them, such as 1001-1200.
 */
import { capstones } from "../lib/lesson/capstones/list";
import { catalogue } from "../lib/lesson/exercises/catalogue";
import { ROOMS } from "../lib/lesson/exercises/truth/truth";
import { kept, type Tried, tryAll } from "./exam-rates/try";
import { ways } from "./exam-rates/ways";

const [given = "200", ...ids] = process.argv.slice(2);
const [first, last] = given.includes("-") ? given.split("-").map(Number) : [1, Number(given)];
const all = [
  ...capstones.map(({ id }) => id as string),
  ...catalogue.flatMap((e) => ("rooms" in e ? [e.id as string] : [])),
];
console.log(`| | ${ways.join(" | ")} | variants |\n| --- |${ways.map(() => " --- |").join("")} --- |`);
for (const id of ids.length > 0 ? ids : all) {
  const variants = Array.from({ length: last - first + 1 }, (_, i) => first + i);
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
