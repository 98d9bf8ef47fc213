/**
 * Capstones: a venue that no lesson has shown, microphones and minutes that run out, and a hand-over to a mix engineer,
 * scored by what the audience gets from whoever works by it.
 */
import { distance } from "../../acoustics/point";
import { latest } from "../../field/latest";
import { uniform } from "../../numeric/random";
import type { Survey } from "../../survey/survey";
import { capital } from "../../text/capital";
import type { NamedPoint, Venue } from "../../venue/venue";
import { audienceOf, seatsOffAxis } from "../exercises/audience-of";
import type { Mark } from "../exercises/exercise";
import { hash } from "../exercises/hash";
import { paragraphs } from "../exercises/html";
import { settled } from "../exercises/kinds/audience";
import { alignedDrawing } from "../exercises/kinds/crossover";
import { eitherWay, withSubs } from "../exercises/kinds/faults";
import { readSetting } from "../exercises/kinds/joint";
import { positionOf, positionsOf, seededNoise, tracesAt } from "../exercises/microphones";
import { hintFor } from "../exercises/misconceptions";
import { PASS } from "../exercises/score";
import type { PositionChoice, Setting } from "../exercises/task";
import { drawLimiter, heldDown, limiterInWords } from "../exercises/truth/limiter";
import { withFault } from "../exercises/truth/microphone-faults";
import type { Suspect } from "../exercises/truth/suspects";
import { drawTruth, ROOMS, suspectsInWords } from "../exercises/truth/truth";
import { requireVariant } from "../exercises/variant";
import { variedVenue } from "../exercises/varied-venue";
import type { Row } from "../output/rows";
import { handOverExample, handOverRead, handOverText, MOST_BANDS, readHandOver } from "./hand-over";
import { type JudgedPart, judge } from "./judge";
import { type CapstoneEntry, type CapstoneId, capstones } from "./list";

/** One variant of a capstone, as a student has it. `show` shows what is asked. */
export interface Capstone {
  /** Which one, such as "quarry". */
  readonly id: string;
  /** Which of its variants. */
  readonly variant: number;
  /** The situation, what there is to measure with, and how the hand-over is scored, in words. */
  readonly task: string;
  /** The drawing: levels and delays as the house knows them to be right. */
  readonly venue: Venue;
  /** What may be otherwise than drawn, each with the venue as it is then; one of it is. */
  readonly suspects: readonly Suspect[];
  /** Positions with a name. */
  readonly positions: readonly NamedPoint[];
  /** Microphones that can stand at once. */
  readonly microphones: number;
  /** Of the time that there is, minutes. */
  readonly minutesLeft: number;
  /**
   * Measures mains and subs at some positions. A microphone where none stood in the run before takes 3 minutes to set up, and
   * the run itself takes 4. A run that was made before, with the same positions and setting, is on the disk and takes nothing.
   *
   * @param positions  names from `positions`, or metres in plan such as `{ x: 8, y: 2 }`
   * @param options  `setting` of the subs during this run; left out: as you found them
   * @throws RangeError when there are not so many microphones or minutes, or nobody listens there
   */
  measure(positions: readonly PositionChoice[], options?: { readonly setting?: WrittenSetting }): Survey;
  /**
   * Scores a hand-over.
   *
   * @param text  to the engineer; four of its lines are read, see `task`
   * @throws RangeError with all lines that can't be read or may mean two things; such an attempt does not count
   */
  check(text: string): HandOverMark;
  /**
   * A hand-over that the audience could not have better, after a real attempt: one that was checked, once something was measured.
   *
   * @throws RangeError before one
   */
  solution(): { readonly handOver: string; readonly words: string; readonly html: string };
  /** The task, for `show`. */
  readonly html: string;
}

/** A setting as one writes it; polarity is "normal" or "inverted", in any usual word. */
export type WrittenSetting = {
  readonly [key in keyof Setting]: Setting[key] extends number ? number : string;
};

/** What a hand-over is worth. */
export interface HandOverMark {
  /** 0 to 100, of all parts. */
  readonly score: number;
  /** The whole is enough, and so is each part by itself. */
  readonly passed: boolean;
  readonly parts: readonly (Pick<JudgedPart, "part"> &
    Pick<Mark, "score" | "loss_db" | "best_db" | "misconception" | "hint">)[];
  /** What was read of the text, in a sentence: look at it before you believe the score. */
  readonly read: string;
  readonly words: string;
  readonly html: string;
}

/** Of each line: a hand-over with one line that misleads is none. */
const LEAST = 60;
/** Minutes for a microphone to be set up, and for a run of mains, then subs. */
const SET_UP = 3;
const RUN = 4;
/** Nearer than this a seat has been measured, metres. */
const NEAR = 1;
/** Losses nearer to the best than this are no loss, dB; common practice, no source. */
const UNHEARD = 0.3;

/**
 * A capstone: a venue that no lesson has shown, where somebody left the subs' level, delay and polarity wrong, and few
 * microphones and minutes to find a setting and write a hand-over to the mix engineer. It is scored by what the audience
 * gets.
 *
 * @param id  "quarry", "market-hall" or "depot"
 * @param variant  any whole number from 0 to 1,000,000, such as that of your seat: neighbours get other numbers, not
 *   another lesson. Default 1
 * @returns what is asked, microphones and minutes, and a check of the hand-over; `show` shows the task
 * @throws RangeError when there is no such capstone, or the variant is not such a number
 * @source own way, no outside source; check: tests/lesson/capstones/capstones.test.ts
 * @example
 * const quarry = course.capstone("quarry", 7); // 40 minutes
 * quarry.measure(["terrace 1", "terrace 3"]); // 2 microphones set up, 3 minutes each, and a run, 4 minutes
 * quarry.minutesLeft // 30
 */
export function capstone(id: CapstoneId, variant = 1): Capstone {
  const entry: CapstoneEntry | undefined = capstones.find((each) => each.id === id);
  if (!entry) {
    const known = capstones.map((each) => `"${each.id}"`).join(", ");
    throw new RangeError(`there is no capstone "${id}", expected ${known}`);
  }
  requireVariant(variant);
  const key = `${id} ${variant}`;
  const one = begun.get(key) ?? capstoneOf(entry, variant);
  begun.set(key, one);
  return one;
}

/** Capstones that were begun in this kernel: whoever makes one anew finds minutes and attempts as they left them. */
const begun = new Map<string, Capstone>();

/**
 * The capstones there are.
 *
 * @returns one row for each: its id, microphones, minutes and situation
 * @source own way, no outside source; check: tests/lesson/capstones/capstones.test.ts
 * @example
 * course.capstones().map((row) => row.capstone) // ["quarry", "market-hall", "depot"]
 */
export const capstoneRows = (): Row[] =>
  capstones.map(({ id, microphones, minutes, situation }) => ({
    capstone: id,
    microphones,
    minutes,
    situation,
  }));

/** A capstone from its entry, with all of its minutes. */
export function capstoneOf(entry: CapstoneEntry, variant: number): Capstone {
  const seed = hash(`capstone ${entry.id} ${variant}`);
  const random = uniform(seed);
  const building = uniform(hash(`capstone ${entry.id} room ${variant % ROOMS}`));
  const drawing = drawings(`${entry.id} ${variant % ROOMS}`, () => drawingOf(entry, building));
  const { venue: there, suspects, fault } = drawTruth(drawing, random, entry.microphones);
  const left = {
    gain: eitherWay(random, entry.level[0], entry.level[1]),
    delay: eitherWay(random, entry.delay[0], entry.delay[1]) / 1000,
    inverted: random() < 0.5,
  };
  const truth = withSubs(there, left);
  const held = drawLimiter(random);
  const measured = new Map<string, NamedPoint>();
  /** The channel of each microphone that stands. */
  let standing = new Map<string, number>();
  let minutes = entry.minutes;
  let attempts = 0;
  const made = new Map<string, number>();
  const runs = new Map<string, Survey>();
  let judged: { readonly at: number; readonly judge: ReturnType<typeof judge> } | undefined;
  const judgeNow = () => {
    if (judged?.at !== measured.size)
      judged = {
        at: measured.size,
        judge: judge(there, left, held, unheard(there, [...measured.values()]), drawing),
      };
    return judged.judge;
  };
  const words = task(entry, suspects);
  return {
    id: entry.id,
    variant,
    task: words.join("\n"),
    venue: drawing,
    suspects,
    positions: drawing.positions,
    microphones: entry.microphones,
    get minutesLeft() {
      return minutes;
    },
    measure(chosen, { setting } = {}) {
      const set = setting === undefined ? undefined : readSetting(setting);
      const positions = positionsOf(chosen, drawing, drawing.positions);
      if (positions.size > entry.microphones)
        throw new RangeError(
          `${positions.size} positions are given, and there are ${entry.microphones} microphones: choose, or measure in two runs`,
        );
      const run = JSON.stringify([[...positions.keys()], set]);
      const known = runs.get(run);
      if (known) return known;
      const fresh = [...positions.keys()].filter((key) => !standing.has(key)).length;
      const takes = RUN + SET_UP * fresh;
      if (takes > minutes)
        throw new RangeError(
          `this run takes ${takes} minutes, ${fresh} microphones to set up and the run itself, and ${minutes} are left: write the hand-over with what you have`,
        );
      minutes -= takes;
      standing = channelsOf([...positions.keys()], standing);
      for (const [key, position] of positions) measured.set(key, position);
      const played = set ? withSetting(truth, set) : truth;
      const limited = withSubs(played, { gain: -heldDown(held, set?.offset ?? 0) });
      const heard = tracesAt(limited, [...positions.values()], seededNoise(seed));
      const channels = [...positions.keys()].map((key) => standing.get(key) as number);
      const found = withFault(heard, channels, fault, entry.microphones, (channel) => {
        const row = channels.indexOf(channel);
        return row < 0
          ? undefined
          : { mains: heard.mains[row], subs: heard.subs[row], fills: heard.fills?.[row] };
      });
      runs.set(run, found);
      return found;
    },
    check(text) {
      const handOver = readHandOver(text);
      const at = mixPosition(handOver.position, drawing);
      const parts = judgeNow().parts(handOver, at);
      if (measured.size > 0) attempts++;
      const scores = parts.map(scoreOf);
      const score = Math.round(parts.reduce((sum, p, i) => sum + (p.weight * scores[i]) / 100, 0));
      const passed = score >= PASS && Math.min(...scores) >= LEAST;
      const marked = parts.map((each, i) => {
        const { part, loss_db, best_db } = each;
        const misconception = scores[i] >= PASS ? null : each.misconception();
        if (misconception) made.set(misconception, (made.get(misconception) ?? 0) + 1);
        const hint = misconception && hintFor(misconception, made.get(misconception) ?? 1);
        return { part, score: scores[i], loss_db, best_db, misconception, hint };
      });
      const read = handOverRead(handOver);
      const lines = [
        read,
        `${score} of 100.`,
        ...marked.map(
          (m, i) =>
            `${m.part} ${m.score}: ${parts[i].loss} is ${m.loss_db.toFixed(1)} dB; ${m.best_db.toFixed(1)} dB was possible.${m.misconception ? ` ${capital(m.misconception)}. ${m.hint}` : ""}`,
        ),
      ];
      const title = passed ? "The engineer can work by it" : "Not yet";
      return { score, passed, parts: marked, read, words: lines.join("\n"), html: paragraphs(title, lines) };
    },
    solution() {
      if (attempts === 0)
        throw new RangeError("you have not tried yet: measure, then give check() a hand-over");
      const handOver = handOverText(judgeNow().best());
      const lines = ["As good as it gets:", ...handOver.split("\n"), why];
      return { handOver, words: lines.join("\n"), html: paragraphs("Worked solution", lines) };
    },
    html: paragraphs(`${entry.id}, variant ${variant} (capstone)`, words),
  };
}

/** Drawings of the rooms that were last begun. */
const drawings = latest<Venue>(ROOMS);

/** A room as it is drawn, with the subs' delay and level as they are right. */
function drawingOf(entry: CapstoneEntry, building: () => number): Venue {
  const rig = variedVenue(`capstones/${entry.venue}`, building);
  return settled(withSubs(rig, { delay: alignedDrawing(rig).delay_ms / 1000 }));
}

/** Whoever stays keeps the channel; who is new gets the lowest that is free. */
function channelsOf(keys: readonly string[], before: ReadonlyMap<string, number>): Map<string, number> {
  const kept = new Map(keys.flatMap((key) => (before.has(key) ? [[key, before.get(key) as number]] : [])));
  const used = new Set(kept.values());
  let free = 0;
  for (const key of keys) {
    if (kept.has(key)) continue;
    while (used.has(free)) free++;
    used.add(free);
    kept.set(key, free);
  }
  return kept;
}

const why =
  "In this order: a run with the subs 10 dB down, to see whether a limiter worked in the first; which suspect fits at most microphones and which microphone fits none; time and polarity from the traces that are left, the level after them; then the model of that suspect with this setting for the positions where the mix engineer may stand, and a run there if minutes are left.";

function task({ situation, microphones, minutes }: CapstoneEntry, suspects: readonly Suspect[]): string[] {
  return [
    situation,
    suspectsInWords(suspects),
    `The drawing shows level, delay and polarity of the subs as the house knows them to be right. What really is set, nobody knows. ${limiterInWords} The target for the audience is 6 dB more from 31.5 to 80 Hz than from 500 to 2000 Hz, and a sum that loses nothing through the crossover.`,
    `You have ${microphones} microphones and ${minutes} minutes. Setting up a microphone at a new position takes ${SET_UP}, a run of mains and subs ${RUN}.`,
    `Write a hand-over to the mix engineer. Write what you like; these four lines are read for their numbers:`,
    ...handOverExample.split("\n"),
    `Subs: the change relative to what you found. Place: in the zone where the mix engineer may stand. There: what is heard at that position relative to the audience's mean. Bands: at most ${MOST_BANDS} third-octave bands from 31.5 to 125 Hz that stray there, with what is heard relative to the audience; "none" if you keep it to one number.`,
    `Subs count 40, the other three 20 each; counted at seats where no microphone stood. ${PASS} are enough, and no line may be worth less than ${LEAST}.`,
  ];
}

function scoreOf({ loss_db, best_db, span }: JudgedPart): number {
  const over = Math.max(0, loss_db - best_db - UNHEARD);
  return Math.round(100 * Math.max(0, 1 - over / Math.max(span - UNHEARD, 0.1)));
}

function withSetting(venue: Venue, { offset, delay, polarity }: Setting): Venue {
  return withSubs(venue, { gain: offset, delay: delay / 1000, inverted: polarity === "inverted" });
}

/** Where the engineer stands: only in the zone for it. */
function mixPosition(position: { readonly x: number; readonly y: number }, drawing: Venue): NamedPoint {
  try {
    return positionOf(position, { ...drawing, audience: [] }, []);
  } catch {
    const { corners } = drawing.frontOfHouse;
    const [xs, ys] = [corners.map((c) => c.x), corners.map((c) => c.y)];
    const span = (values: readonly number[]) => `${Math.min(...values)} to ${Math.max(...values)}`;
    throw new RangeError(
      `nobody may mix at x ${position.x}, y ${position.y}: the zone goes from x ${span(xs)} and y ${span(ys)}, written such as "Place: x ${xs[0] + 1}, y 0"`,
    );
  }
}

/** Seats of the audience, off the axis, at which no microphone stood. */
const unheard = (there: Venue, microphones: readonly NamedPoint[]): number[] =>
  audienceOf(there, seatsOffAxis(there)).positions.flatMap((p, i) =>
    microphones.some((m) => distance(m.point, p.point) < NEAR) ? [] : [i],
  );
