/**
 * Estimates held against halls that are not quite as drawn: what a level that was decided from one costs the audience, beside those from
 * the model alone and from the microphones alone, and whether intervals hold the truth.
 *
 *     node scripts/run.mjs scripts/estimate-truth.ts [FIRST SEED [HALLS]]
 */
import type { Response } from "../lib/acoustics/response";
import { prepareBalance } from "../lib/decision/balance/balance";
import { levelOffset } from "../lib/decision/offset/offset";
import { estimateSurvey } from "../lib/estimate/estimate";
import { modelSurvey } from "../lib/field/model-survey";
import { normal, uniform } from "../lib/numeric/random";
import { partOfSurvey } from "../lib/survey/part";
import type { Survey } from "../lib/survey/survey";
import { seats } from "../lib/venue/seats";
import { uncertainHall } from "./discrepancy/halls";

const [first = 301, halls = 12] = process.argv.slice(2).map(Number);
const COUNTS = [0, 1, 2, 3, 4, 6, 8, 10];
const DRAWS = 40;

interface Trial {
  readonly count: number;
  /** What the audience loses, dB rms: by the estimate, the model, the microphones. */
  readonly losses: readonly number[];
  readonly holdsOffset: boolean;
  readonly width: number;
  readonly promised: number;
  readonly kept: number;
  readonly holdsShare: boolean;
}
const trials: Trial[] = [];

for (let seed = first; seed < first + halls; seed++) {
  const { drawn, real } = uncertainHall(seed, 1);
  const places = seats(drawn, { count: 60 });
  const [model, truth] = [drawn, real[0]].map((venue) => modelSurvey(venue, places));
  for (const count of COUNTS) trials.push(trial(seed, count, model, truth));
  console.log(`hall ${seed} of ${first} to ${first + halls - 1}`);
}

console.log(
  "\n| microphones | lost by estimate, dB: mean, 95 % | model | microphones | 90 % interval of the level holds | its width, dB | within 3 dB: promised, true | its interval holds |",
);
console.log("| --- | --- | --- | --- | --- | --- | --- | --- |");
for (const count of COUNTS) {
  const own = trials.filter((t) => t.count === count);
  const loss = (k: number) => own.map((t) => t.losses[k]);
  const percent = (of: (t: Trial) => number) => `${Math.round(100 * mean(own.map(of)))} %`;
  const worst = loss(0).sort((a, b) => a - b)[Math.ceil(0.95 * own.length) - 1];
  const cells = [
    count,
    `${mean(loss(0)).toFixed(2)}, ${worst.toFixed(2)}`,
    mean(loss(1)).toFixed(2),
    count > 0 ? mean(loss(2)).toFixed(2) : "",
    percent((t) => Number(t.holdsOffset)),
    mean(own.map((t) => t.width)).toFixed(1),
    `${percent((t) => t.promised)}, ${percent((t) => t.kept)}`,
    percent((t) => Number(t.holdsShare)),
  ];
  console.log(`| ${cells.join(" | ")} |`);
}

function trial(seed: number, count: number, model: Survey, truth: Survey): Trial {
  const measured = measure(seed, count, truth);
  const estimate = estimateSurvey(model, count > 0 ? { measured } : {});
  const best = levelOffset(truth);
  const audience = (survey: Survey, offset: number) => prepareBalance(survey).evaluate(offset).audience;
  const loss = (offset: number) => audience(truth, offset).rms_db - best.cost_db;
  const level = estimate.interval((s) => levelOffset(s).offset_db, { draws: DRAWS });
  const share = estimate.interval((s) => audience(s, level.value).within3dB_fraction, { draws: DRAWS });
  const kept = audience(truth, level.value).within3dB_fraction;
  return {
    count,
    losses: [
      level.value,
      levelOffset(model).offset_db,
      ...(count > 0 ? [levelOffset(measured).offset_db] : []),
    ].map(loss),
    holdsOffset: best.offset_db >= level.lower && best.offset_db <= level.upper,
    width: level.upper - level.lower,
    promised: (share.lower + share.upper) / 2,
    kept,
    holdsShare: kept >= share.lower - 1e-9 && kept <= share.upper + 1e-9,
  };
}

/** Microphones at some seats, each with noise 26 dB down, a sensitivity off by 0.3 dB and a clock of its own. */
function measure(seed: number, count: number, truth: Survey): Survey {
  const random = uniform(31 * seed + count);
  const off = normal(100 * seed + count);
  const chosen = new Set<number>();
  while (chosen.size < count) chosen.add(Math.floor(random() * truth.positions.length));
  const part = partOfSurvey(truth, [...chosen]);
  const errors = part.positions.map(() => ({
    gain: 10 ** ((0.3 * off()) / 20),
    delay: 0.02 + 0.03 * random(),
  }));
  const heard = (r: Response, i: number): Response => {
    const { gain, delay } = errors[i];
    const [re, im] = [r.re.slice(), r.im.slice()];
    r.frequency.forEach((f, n) => {
      const turn = 2 * Math.PI * f * delay;
      const noise = 0.05 * Math.hypot(r.re[n], r.im[n]);
      const [x, y] = [r.re[n] + noise * off(), r.im[n] + noise * off()];
      re[n] = gain * (x * Math.cos(turn) - y * Math.sin(turn));
      im[n] = gain * (x * Math.sin(turn) + y * Math.cos(turn));
    });
    return { frequency: r.frequency, re, im, diffuse: r.diffuse?.map((d) => d * gain * gain) };
  };
  return { ...part, mains: part.mains.map(heard), subs: part.subs.map(heard) };
}

function mean(values: readonly number[]): number {
  return values.reduce((sum, x) => sum + x, 0) / values.length;
}
