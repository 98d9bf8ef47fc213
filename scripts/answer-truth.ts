/**
 * Answers held against halls of another library: shows recorded in rooms by pyroomacoustics, drawn as with a tape measure, answered
 * from none to nine of their microphones, and what that costs the people at seats where no microphone stood.
 *
 *     node scripts/run.mjs scripts/answer-truth.ts [SEED [SHOWS [FIRST]]]
 */
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import path from "node:path";
import { thirdOctaves } from "../lib/acoustics/bands/bands";
import { bandPowers, span } from "../lib/decision/balance/band-powers";
import { levelOffset } from "../lib/decision/offset/offset";
import { modelSurvey } from "../lib/field/model-survey";
import { normal, uniform } from "../lib/numeric/random";
import { answerOf } from "../lib/study/answer";
import { measureShow } from "../lib/study/measure";
import { readShow } from "../lib/study/read-show";
import { decisionSettings } from "../lib/study/settings";
import { standFor } from "../lib/study/stand-for";
import { partOfSurvey } from "../lib/survey/part";
import type { Survey } from "../lib/survey/survey";
import { type Quad, quadAt } from "../lib/venue/quad";
import { seats } from "../lib/venue/seats";
import type { Venue } from "../lib/venue/venue";
import { generate } from "./halls/generate";
import {
  AS_IT_IS,
  audienceWith,
  bestOfAll,
  mostTogether,
  type TrueSeats,
  togetherWith,
} from "./halls/true-seats";
import { ensurePython, peerEnvironment } from "./setup/python-env.mjs";
import { runCommand } from "./setup/setup-error.mjs";
import { quantileOf } from "./wave-truth/figures";

const COUNTS = [0, 1, 2, 3, 4, 6, 8];
const SEATS = 200;
/** Of the normal distribution, within which lie nine cases of ten. */
const QUANTILE = 1.645;
/** What a data sheet and a console's faders leave open between mains and subs, one standard deviation, dB. Common practice, no source. */
const LEVEL_ERROR = 1;

interface Truth {
  readonly seed: number;
  readonly volume_m3: number;
  readonly seats: TrueSeats;
  readonly free_db: number;
  /** What was set of the subs, which a drawing knows. */
  readonly processor: { readonly delay_s: number; readonly polarity: 1 | -1 };
}

interface Trial {
  readonly show: number;
  readonly count: number;
  /** What the audience loses, dB rms: by the answer, by the model alone, by the microphones alone. */
  readonly losses: readonly number[];
  readonly holdsLevel: boolean;
  readonly width_db: number;
  readonly promised: number;
  readonly kept: number;
  readonly holdsShare: boolean;
  readonly changed: boolean;
  /** What the setting gains where mains and subs meet, beside as it is, and the most that any gains, dB. */
  readonly gained_db: number;
  readonly gainable_db: number;
}

runCommand(async () => {
  const [seed = 14, shows = 43, first = 0] = process.argv.slice(2).map(Number);
  const python = await ensurePython(peerEnvironment, "numpy, scipy and other peers");
  const trials: Trial[] = [];
  for (let number = first; number < first + shows; number++) {
    const folder = mkdtempSync(path.join(tmpdir(), "evenground-answer-"));
    try {
      const [show] = await generate(python, folder, seed, { first: number, count: 1, seats: true });
      const own = trialsOf(show, number);
      trials.push(...own);
      const at = (count: number) =>
        own
          .find((t) => t.count === count)
          ?.losses.map((x) => x.toFixed(2))
          .join(" / ");
      console.log(`show ${number}: lost by answer / model / microphones with 2: ${at(2)}, with 6: ${at(6)}`);
    } finally {
      rmSync(folder, { recursive: true, force: true });
    }
  }
  if (process.env.ROWS) writeFileSync(process.env.ROWS, JSON.stringify(trials));
  console.log(`\n${table(trials)}`);
  return 0;
});

function trialsOf(folder: string, number: number): Trial[] {
  const truth: Truth = JSON.parse(readFileSync(path.join(folder, "truth.json"), "utf8"));
  const show = readShow(folder);
  const settings = decisionSettings(show);
  const tilt = settings.targetTilt ?? 0;
  const { survey: measured } = measureShow(show);
  const venue = levelled(show.venue, truth);
  const audience = modelSurvey(venue, seats(venue, { count: SEATS }));
  const order = shuffled(measured?.positions.length ?? 0, truth.seed);
  const atMicrophones = measured && modelSurvey(venue, measured.positions);
  const most = bestOfAll(truth.seats, tilt);
  const asItIs = audienceWith(truth.seats, tilt, AS_IT_IS);
  const byModel = levelOffset(audience, settings).offset_db;
  return COUNTS.filter((count) => count <= order.length).map((count) => {
    const chosen = order.slice(0, count);
    const heard = count > 0 && measured && atMicrophones ? part(venue, measured, chosen) : undefined;
    const answer = answerOf(
      venue,
      audience,
      undefined,
      heard && { measured: heard, model: partOfSurvey(atMicrophones as Survey, chosen) },
      settings,
    );
    const { setting, intervals } = answer;
    const real = audienceWith(truth.seats, tilt, setting);
    const { offset_db: right } = real.best();
    const level = intervals.offset_db;
    const share = intervals.within3dB_fraction;
    const kept = real.within3dB(level.value);
    // The truth is that of some of the seats only: it strays from the whole audience's as any sample does.
    const chance =
      QUANTILE * Math.sqrt((share.value * (1 - share.value)) / truth.seats.balance.middle.length);
    const side = kept > share.value ? share.upper - share.value : share.value - share.lower;
    const together = togetherWith(truth.seats, AS_IT_IS, level.value);
    return {
      show: number,
      count,
      losses: [
        real.cost(level.value) - most,
        asItIs.cost(byModel) - most,
        ...(heard ? [asItIs.cost(levelOffset(heard, settings).offset_db) - most] : []),
      ],
      holdsLevel: right >= level.lower && right <= level.upper,
      width_db: level.upper - level.lower,
      promised: share.value,
      kept,
      holdsShare: Math.abs(kept - share.value) <= Math.hypot(side, chance) + 1e-9,
      changed: setting.polarity < 0 || setting.delay_ms !== 0,
      gained_db: togetherWith(truth.seats, setting, level.value) - together,
      gainable_db: mostTogether(truth.seats, level.value) - together,
    };
  });
}

/** Some of the microphones, each for the people nearest to it. */
function part(venue: Venue, survey: Survey, chosen: readonly number[]): Survey {
  const some = partOfSurvey(survey, chosen);
  const people = new Map(standFor(venue, some.positions).map((p) => [p.id, p.people]));
  // A mix position alone stands for whoever is there.
  const anybody = some.positions.some((p) => people.get(p.id));
  return {
    ...some,
    positions: some.positions.map((p) => ({ ...p, people: anybody ? (people.get(p.id) ?? 0) : 1 })),
  };
}

/** The drawing with its subs set as they are, and as loud beside its mains as they are without a room, but for an error. */
function levelled(venue: Venue, { free_db, seed, processor: { delay_s, polarity } }: Truth): Venue {
  const [{ corners, earHeight }] = venue.audience;
  const ground = quadAt(corners as Quad, 0.5, 0.5);
  const place = { id: "middle", point: { ...ground, z: ground.z + earHeight }, area: "floor", people: 1 };
  const { room: _, ...rest } = venue;
  const free: Venue = { ...rest, boundaries: [], cavities: [] };
  const { mains, subs } = bandPowers(modelSurvey(free, [place]), [
    span(thirdOctaves(31.5, 80)),
    span(thirdOctaves(500, 2000)),
  ]);
  const off = LEVEL_ERROR * normal(seed % 1_000_003)();
  const gain = free_db - 10 * Math.log10(subs[0] / mains[1]) + off;
  return {
    ...venue,
    sources: venue.sources.map((s) =>
      s.group === "subs" ? { ...s, gain: s.gain + gain, delay: s.delay + delay_s, polarity } : s,
    ),
  };
}

function shuffled(count: number, seed: number): number[] {
  const random = uniform(seed + 1);
  return Array.from({ length: count }, (_, i) => [random(), i])
    .sort(([a], [b]) => a - b)
    .map(([, i]) => i);
}

function table(trials: readonly Trial[]): string {
  const mean = (values: readonly number[]) => values.reduce((sum, x) => sum + x, 0) / values.length;
  const at = (values: readonly number[], part: number) => quantileOf(Float64Array.from(values).sort(), part);
  const lines = COUNTS.map((count) => {
    const own = trials.filter((t) => t.count === count);
    const percent = (of: (t: Trial) => number) => `${Math.round(100 * mean(own.map(of)))} %`;
    const lost = (k: number) => {
      const all = own.map(({ losses }) => losses[k]);
      return `${at(all, 0.5).toFixed(2)}, ${mean(all).toFixed(2)}, ${at(all, 0.95).toFixed(2)}`;
    };
    return [
      `${count} (${own.length})`,
      lost(0),
      lost(1),
      count > 0 ? lost(2) : "",
      percent((t) => Number(t.holdsLevel)),
      mean(own.map((t) => t.width_db)).toFixed(1),
      `${percent((t) => t.promised)}, ${percent((t) => t.kept)}`,
      percent((t) => Number(t.holdsShare)),
      percent((t) => Number(t.changed)),
      `${mean(own.map((t) => t.gained_db)).toFixed(2)} of ${mean(own.map((t) => t.gainable_db)).toFixed(2)}, ${at(
        own.map((t) => t.gained_db),
        0.05,
      ).toFixed(2)}`,
    ].join(" | ");
  });
  return [
    "| microphones (shows) | lost by the answer, dB: median, mean, 95 % | model | microphones | 90 % interval of the level holds | its width, dB | within 3 dB: promised, true | its interval holds | polarity or delay changed | gained where the two meet, dB: of what could be, worst 5 % |",
    "| --- | --- | --- | --- | --- | --- | --- | --- | --- | --- |",
    ...lines.map((line) => `| ${line} |`),
  ].join("\n");
}
