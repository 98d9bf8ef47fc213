/** The forms there are: their lines, and what is decided by them. */
import { alignment } from "../../../decision/alignment/alignment";
import { prepareBalance } from "../../../decision/balance/balance";
import { levelOffset } from "../../../decision/offset/offset";
import { rankReferences } from "../../../decision/reference/rank";
import { modelSurvey } from "../../../field/model-survey";
import type { Position, Survey } from "../../../survey/survey";
import { seats } from "../../../venue/seats";
import type { NamedPoint, Venue } from "../../../venue/venue";
import type { Candidate } from "../grade";
import { mixPosition } from "../kinds/audience";
import type { PositionChoice } from "../task";

export interface Line {
  readonly key: string;
  /** What may stand there. */
  readonly choices: "positions" | "number" | readonly string[];
  /** What stands there at first: no good answer. */
  readonly standIn: string;
}

/** A form as it was filled in. */
export interface Filled {
  says(key: string): string;
  number(key: string): number;
  positions(): PositionChoice[];
}

export interface Kind {
  /** Which exercises. */
  readonly of: RegExp;
  readonly lines: readonly Line[];
  readonly decide: (one: Candidate, filled: Filled) => unknown;
}

const at: Line = { key: "measure at", choices: "positions", standIn: "mix position" };
const target: Line = { key: "target", choices: "number", standIn: "0 dB" };
/** What becomes of the number that was found: its sign and size are a decision of their own. */
const whatBecomes = ["what was found", "the opposite", "half of it", "twice that", "nothing"] as const;
const set: Line = {
  key: "set the subs by",
  choices: whatBecomes,
  standIn: "the opposite",
};
const lookAt: Line = {
  key: "look at",
  choices: ["the sum", "subs alone", "mains alone"],
  standIn: "subs alone",
};
const whoCounts = ["everybody", "front row", "back row", "nobody"] as const;

export const kinds: readonly Kind[] = [
  {
    of: /-level$/,
    lines: [at, { key: "who counts", choices: whoCounts, standIn: "front row" }, target, set],
    decide: (one, filled) => {
      const found = levelOffset(one.measure(filled.positions()), { targetTilt: filled.number("target") });
      return factorOf(filled) * levelFor(filled.says("who counts"), found);
    },
  },
  {
    of: /-delay$/,
    lines: [
      at,
      { key: "align for", choices: ["everybody", "first position", "nobody"], standIn: "first position" },
      { key: "polarity", choices: ["as it is", "inverted", "either"], standIn: "either" },
      lookAt,
      set,
    ],
    decide: (one, filled) => {
      const heard = one.measure(filled.positions());
      const whom = filled.says("align for");
      // One part alone is as loud at any delay.
      if (whom === "nobody" || filled.says("look at") !== "the sum") return 0;
      const polarity = ({ "as it is": 1, inverted: -1, either: "both" } as const)[
        filled.says("polarity") as "either"
      ];
      const [{ delay_ms }] = alignment(whom === "everybody" ? heard : first(heard), { polarity }).choices;
      return factorOf(filled) * delay_ms;
    },
  },
  {
    of: /-polarity$/,
    lines: [
      at,
      {
        key: "loudest sum for",
        choices: ["everybody", "first position", "nobody: normal", "nobody: inverted"],
        standIn: "nobody: normal",
      },
      lookAt,
      { key: "delay", choices: ["as it is", "free"], standIn: "free" },
      { key: "answer", choices: ["what was found", "the opposite"], standIn: "the opposite" },
    ],
    decide: (one, filled) => {
      const heard = one.measure(filled.positions());
      const whom = filled.says("loudest sum for");
      if (whom.startsWith("nobody")) return whom.slice("nobody: ".length);
      // One part alone is as loud either way.
      if (filled.says("look at") !== "the sum") return "normal";
      const delays: [number, number] | undefined = filled.says("delay") === "as it is" ? [0, 0] : undefined;
      const [{ polarity }] = alignment(whom === "everybody" ? heard : first(heard), { delays }).choices;
      return (polarity === 1) === (filled.says("answer") === "what was found") ? "normal" : "inverted";
    },
  },
  {
    of: /-microphones$/,
    lines: [at],
    decide: (_, filled) => filled.positions(),
  },
  {
    of: /-place$/,
    lines: [
      at,
      {
        key: "venue",
        choices: ["as drawn", "fits at all positions", "fits at all but two"],
        standIn: "as drawn",
      },
      {
        key: "choose by",
        choices: ["ranking", "most bass", "least bass", "nearest", "farthest"],
        standIn: "nearest",
      },
      {
        key: "of the last, tell",
        choices: whatBecomes,
        standIn: "nothing",
      },
    ],
    decide: place,
  },
  {
    of: /-mix$/,
    lines: [
      { key: "level for", choices: whoCounts, standIn: "nobody" },
      { key: "listen at", choices: ["mix position", "front row", "back row"], standIn: "front row" },
      {
        key: "tell the engineer",
        choices: whatBecomes,
        standIn: "nothing",
      },
      target,
    ],
    decide: (one, filled) => {
      const targetTilt = filled.number("target");
      const audience = modelSurvey(one.venue, seats(one.venue, { count: 100 }));
      const offset = levelFor(filled.says("level for"), levelOffset(audience, { targetTilt }));
      const mix = one.positions.find(({ id }) => id === "mix position") ?? mixPosition(one.venue);
      const here = prepareBalance(modelSurvey(one.venue, [standing(mix)]), { targetTilt });
      const { front_db, back_db } = prepareBalance(audience, { targetTilt }).evaluate(offset).audience;
      const heard = {
        "mix position": here.evaluate(offset).positions[0].deviation_db,
        "front row": front_db,
        "back row": back_db,
      }[filled.says("listen at") as "front row"];
      return factorOf(filled, "tell the engineer") * heard;
    },
  },
  {
    of: /-everything$/,
    lines: [
      at,
      {
        key: "order",
        choices: ["time then level", "level then time", "level alone", "time alone"],
        standIn: "level alone",
      },
      target,
      set,
    ],
    decide: (one, filled) => {
      const heard = one.measure(filled.positions());
      const targetTilt = filled.number("target");
      const order = filled.says("order");
      const found = alignment(heard).choices[0];
      const timed = order !== "level alone";
      const delay_ms = timed ? found.delay_ms : 0;
      const polarity = timed ? found.polarity : 1;
      const timing = order === "time then level" ? { delay: delay_ms / 1000, polarity } : {};
      const offset = order === "time alone" ? 0 : levelOffset(heard, { targetTilt, ...timing }).offset_db;
      const factor = factorOf(filled);
      return {
        offset: factor * offset,
        delay: factor * delay_ms,
        polarity: polarity === 1 ? "normal" : "inverted",
      };
    },
  },
];

const factorOf = (filled: Filled, key = set.key): number =>
  ({ "what was found": 1, "the opposite": -1, "half of it": 0.5, "twice that": 2, nothing: 0 })[
    filled.says(key) as "nothing"
  ];

function levelFor(whom: string, found: ReturnType<typeof levelOffset>): number {
  if (whom === "nobody") return 0;
  return found.preferred.find(({ who }) => who === whom)?.offset_db ?? found.offset_db;
}

/** The survey of its first position, whoever stands there. */
const first = (heard: Survey): Survey => ({
  ...heard,
  positions: heard.positions.slice(0, 1).map((position) => ({ ...position, people: 1 })),
  mains: heard.mains.slice(0, 1),
  subs: heard.subs.slice(0, 1),
  ...(heard.fills ? { fills: heard.fills.slice(0, 1) } : {}),
});

const standing = ({ id, point }: NamedPoint): Position => ({ id, point, area: "front of house", people: 0 });

function place(one: Candidate, filled: Filled) {
  const heard = one.measure(filled.positions());
  const which = filled.says("venue");
  const left = (venue: Venue): number => {
    const off = misfits(heard, modelSurvey(venue, heard.positions)).sort((a, b) => a - b);
    // One microphone has a fault, or two have each other's label.
    const counted = which === "fits at all but two" ? Math.max(1, off.length - 2) : off.length;
    return off.slice(0, counted).reduce((sum, each) => sum + each, 0);
  };
  const fits = one.suspects.map(({ venue }) => ({ venue, left: which === "as drawn" ? 0 : left(venue) }));
  const venue = which === "as drawn" ? one.venue : fits.sort((a, b) => a.left - b.left)[0].venue;
  const audience = modelSurvey(venue, seats(venue, { count: 100 }));
  const candidates = one.positions.filter(({ id }) => id.startsWith("place")).map(standing);
  const ranked = [...rankReferences(audience, modelSurvey(venue, candidates)).positions];
  const by = filled.says("choose by");
  if (by === "most bass") ranked.sort((a, b) => b.bias_db - a.bias_db);
  if (by === "least bass") ranked.sort((a, b) => a.bias_db - b.bias_db);
  if (by === "nearest") ranked.sort((a, b) => a.point.x - b.point.x);
  if (by === "farthest") ranked.sort((a, b) => b.point.x - a.point.x);
  const last = ranked[ranked.length - 1];
  return {
    place: ranked[0].id,
    last: last.id,
    correction: factorOf(filled, "of the last, tell") * last.bias_db,
  };
}

/** What is left of the measured subs when the model's are taken off, relative to these, at each position. */
function misfits(heard: Survey, model: Survey): number[] {
  return heard.subs.map((measured, i) => {
    const { re, im } = model.subs[i];
    let off = 0;
    let all = 0;
    heard.frequency.forEach((f, k) => {
      if (f < 25 || f > 125) return;
      off += (measured.re[k] - re[k]) ** 2 + (measured.im[k] - im[k]) ** 2;
      all += re[k] ** 2 + im[k] ** 2;
    });
    return off / all;
  });
}
