/**
 * How far reality strays from a drawing's model, in random halls by waves: what `lib/estimate/discrepancy.ts` goes by.
 *
 *     node scripts/run.mjs scripts/discrepancy.ts [FIRST SEED [HALLS]]
 */
import { thirdOctaves } from "../lib/acoustics/bands/bands";
import { distance } from "../lib/acoustics/point";
import { modelSurvey } from "../lib/field/model-survey";
import type { Survey } from "../lib/survey/survey";
import { seats } from "../lib/venue/seats";
import { uncertainHall } from "./discrepancy/halls";

const [first = 1, halls = 12] = process.argv.slice(2).map(Number);
const groups = ["mains", "subs"] as const;
const bands = thirdOctaves(25, 125);
/** By band and group: levels off as a whole, dB, and the share that is another field. */
const off = bands.map(() => groups.map(() => ({ more: [] as number[], share: [] as number[] })));
/** Edges of kr, and what the missing field has in common over such distances. */
const edges = [0.5, 1, 1.5, 2.5, 3.5, 5, 7, 10];
const alike = edges.map(() => ({ sum: 0, count: 0 }));

for (let seed = first; seed < first + halls; seed++) {
  const { drawn, real } = uncertainHall(seed);
  const places = seats(drawn, { count: 60 });
  const model = modelSurvey(drawn, places);
  for (const venue of real) compare(model, modelSurvey(venue, places));
  console.log(`hall ${seed} of ${first} to ${first + halls - 1}`);
}

console.log(
  "\n| Hz | mains: level off, dB | another field | subs: level off, dB | another field |\n| --- | --- | --- | --- | --- |",
);
bands.forEach(({ nominal }, b) => {
  const cells = off[b].flatMap(({ more, share }) => [deviation(more).toFixed(1), mean(share).toFixed(2)]);
  console.log(`| ${nominal} | ${cells.join(" | ")} |`);
});
console.log("\n| kr | alike |\n| --- | --- |");
alike.forEach(({ sum, count }, e) => {
  if (count > 0) console.log(`| ${edges[e - 1] ?? 0} to ${edges[e]} | ${(sum / count).toFixed(2)} |`);
});

function compare(model: Survey, truth: Survey): void {
  const { frequency, positions } = model;
  bands.forEach(({ lower, upper }, b) => {
    const inside = [...frequency.keys()].filter((n) => frequency[n] >= lower && frequency[n] <= upper);
    groups.forEach((group, g) => {
      let [mm, tt, mt] = [0, 0, 0];
      for (const n of inside)
        model[group].forEach((m, i) => {
          const t = truth[group][i];
          mm += m.re[n] ** 2 + m.im[n] ** 2;
          tt += t.re[n] ** 2 + t.im[n] ** 2;
          mt += m.re[n] * t.re[n] + m.im[n] * t.im[n];
        });
      off[b][g].more.push(10 * Math.log10(tt / mm));
      off[b][g].share.push(1 - mt ** 2 / (mm * tt));
      const gain = mt / mm;
      for (const n of inside) {
        const missing = model[group].map((m, i) => ({
          re: truth[group][i].re[n] - gain * m.re[n],
          im: truth[group][i].im[n] - gain * m.im[n],
        }));
        const square = mean(missing.map(({ re, im }) => re * re + im * im));
        positions.forEach((p, i) => {
          for (let j = 0; j < i; j++) {
            const kr = ((2 * Math.PI * frequency[n]) / 343) * distance(p.point, positions[j].point);
            const e = edges.findIndex((edge) => kr < edge);
            if (e < 0) continue;
            alike[e].sum += (missing[i].re * missing[j].re + missing[i].im * missing[j].im) / square;
            alike[e].count++;
          }
        });
      }
    });
  });
}

function mean(values: readonly number[]): number {
  return values.reduce((sum, x) => sum + x, 0) / values.length;
}

function deviation(values: readonly number[]): number {
  const middle = mean(values);
  return Math.sqrt(mean(values.map((x) => (x - middle) ** 2)));
}
