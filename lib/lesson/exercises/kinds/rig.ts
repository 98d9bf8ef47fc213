/** Where subs stand, how high hangs hang, which stack is inverted: the building and the rig, not the settings. */
import { levelOffset } from "../../../decision/offset/offset";
import { responder } from "../../../field/model-survey";
import { partOfSurvey } from "../../../survey/part";
import type { Survey } from "../../../survey/survey";
import { acousticCentre } from "../../../venue/centre";
import type { Source, Venue } from "../../../venue/venue";
import type { Misconception } from "../misconceptions";
import { readChoice, type SetUp } from "../task";
import { lossOver, settled } from "./audience";
import { sumLoss } from "./crossover";
import { isSub, oneOf, withSources } from "./faults";

/**
 * Distance of the subs from the wall behind them.
 *
 * @param options  `steps` by which they may be moved forward, metres; `wall` where the wall is, x in metres
 */
export function distanceTask(options: { readonly steps: readonly number[]; readonly wall: number }): SetUp {
  return (venue, random) => {
    const jitter = Math.round(random() * 20) / 100;
    const now = Math.min(...venue.sources.filter(isSub).map((s) => acousticCentre(s).x));
    const moved = new Map(
      options.steps.map((step) => {
        const by = step + jitter;
        const name: string = `${(now + by - options.wall).toFixed(2)} m`;
        return [name, shifted(venue, by)] as const;
      }),
    );
    const choices = [...moved.keys()];
    const drawing = moved.get(choices[0]) as Venue;
    return {
      question: `The subs may stand at one of these distances from the wall behind them, measured to their acoustic centres, which lie before their fronts. Which one gives the audience the most even low end over the third-octave bands from 31.5 to 80 Hz? The wall is at x = ${options.wall} m. Answer one of the choices.`,
      drawing,
      truth: drawing,
      choices,
      read: (answer) => readChoice(answer, choices),
      loss: "the deviation of the third-octave bands that all seats share (RMS)",
      why: "A wall at distance d cancels at c/(4d): 343 m/s over four times 1.7 m are 50 Hz, in the middle of the subs' band. Close to the wall the dip moves above it and the wall adds instead; far away it moves below.",
      judge: (audience) => {
        const heard = fieldOf(audience, "subs", 2);
        const cost = tableOf(choices, (name) => shapeLoss(heard(moved.get(name) as Venue)));
        const best = leastOf(choices, cost);
        const nearest = choices[0];
        return {
          cost: (answer) => cost(answer as string),
          best,
          misconception: (answer): Misconception =>
            answer === nearest ? "as near as can be" : "keep away from walls",
        };
      },
    };
  };
}

/**
 * Height of the hangs.
 *
 * @param steps  by which they may be raised or lowered, metres
 */
export function trimTask(steps: readonly number[]): SetUp {
  return (venue) => {
    const top = Math.max(...venue.sources.filter((s) => s.group === "mains").map((s) => s.point.z));
    const raised = new Map(
      steps.map((step) => {
        const name: string = `${(top + step).toFixed(1)} m`;
        const isMains = (s: Source) => s.group === "mains";
        const up = (s: Source) => ({ point: { ...s.point, z: s.point.z + step } });
        return [name, withSources(venue, isMains, up)] as const;
      }),
    );
    const choices = [...raised.keys()];
    return {
      question:
        "The riggers need the trim height, measured to the middle of the uppermost element; the aim stays as drawn. At which height do mains and subs keep together best from front to back, each at its own best level? Answer one of the choices.",
      drawing: venue,
      truth: venue,
      choices,
      read: (answer) => readChoice(answer, choices),
      loss: "the audience's deviation from the target balance (RMS)",
      why: "Raising a hang makes its distances to all seats more alike, so that it loses less level than the subs on the floor; lowering it makes both lose alike until the aim no longer fits the seats.",
      judge: (audience) => {
        const heard = fieldOf(audience, "mains", 1);
        const cost = tableOf(choices, (name) => levelOffset(heard(raised.get(name) as Venue)).cost_db);
        const best = leastOf(choices, cost);
        const height = (name: unknown) => Number.parseFloat(name as string);
        return {
          cost: (answer) => cost(answer as string),
          best,
          misconception: (answer) => (height(answer) > height(best) ? "higher is better" : "lower is better"),
        };
      },
    };
  };
}

const turns = ["invert house left", "invert house right", "leave both"] as const;
type Turn = (typeof turns)[number];

/** A stack that may be inverted relative to the other. */
export function wiringTask(): SetUp {
  return (venue, random) => {
    const drawing = settled(venue);
    const fault = oneOf(random, [...turns, "invert house left", "invert house right"] as const);
    const truth = withWiring(drawing, fault);
    return {
      question:
        "Somebody rewired the subs in a hurry. Is the polarity of one of the two stacks inverted, and of which one? Answer what is to be done.",
      drawing,
      truth,
      choices: turns,
      read: (answer) => readChoice(answer, turns),
      loss: "the audience's deviation from the target balance at the level as it is set, together with what the sum loses through the crossover (root of the sum of squares),",
      why: "Two like stacks arrive together on the centre line. There they add by 6 dB when both are right, and cancel when one is inverted; which one it is shows relative to the mains, through the crossover.",
      judge: (audience) => {
        const heard = fieldOf(audience, "subs", 1);
        const cost = tableOf(turns, (name) => {
          const there = heard(withWiring(truth, name));
          return Math.hypot(lossOver(there)(0), sumLoss(there)(0, 1));
        });
        const best = leastOf(turns, cost);
        return {
          cost: (answer) => cost(answer as Turn),
          best,
          misconception: (answer): Misconception =>
            answer === "leave both"
              ? "no fault seen"
              : best === "leave both"
                ? "fault where none is"
                : "symptom on the wrong side",
        };
      },
    };
  };
}

function withWiring(venue: Venue, what: Turn): Venue {
  if (what === "leave both") return venue;
  const left = what === "invert house left";
  return withSources(
    venue,
    (s) => isSub(s) && s.point.y > 0 === left,
    (s): Partial<Source> => ({ polarity: s.polarity === 1 ? -1 : 1 }),
  );
}

const shifted = (venue: Venue, by: number): Venue =>
  withSources(venue, isSub, (s) => ({ point: { ...s.point, x: s.point.x + by } }));

/**
 * Makes the function that gives the audience in a changed venue; only what was changed is computed anew, at every second seat.
 */
function fieldOf(audience: Survey, group: "mains" | "subs", order: number): (venue: Venue) => Survey {
  const some = partOfSurvey(
    audience,
    audience.positions.flatMap((_, i) => (i % 2 === 0 ? [i] : [])),
  );
  return (venue) => {
    const places = some.positions.map((p) => p.point);
    return {
      ...some,
      [group]: places.map(responder(venue, group, places, { frequency: some.frequency, order })),
    };
  };
}

/** Root mean square over the third-octave bands of what all people have in common, dB. */
function shapeLoss(survey: Survey): number {
  const { mean_db } = levelOffset(survey).residual;
  return Math.sqrt(mean_db.reduce((s, m) => s + m * m, 0) / mean_db.length);
}

function tableOf<K>(keys: readonly K[], value: (key: K) => number): (key: K) => number {
  const known = new Map(keys.map((key) => [key, value(key)] as const));
  return (key) => known.get(key) as number;
}

const leastOf = <K>(keys: readonly K[], cost: (key: K) => number): K =>
  keys.reduce((best, key) => (cost(key) < cost(best) ? key : best));
