/** One way to answer tried on one variant. */
import { modelSurvey } from "../../lib/field/model-survey";
import { capstoneOf } from "../../lib/lesson/capstones/capstone";
import { capstones } from "../../lib/lesson/capstones/list";
import { catalogue } from "../../lib/lesson/exercises/catalogue";
import { exerciseOf } from "../../lib/lesson/exercises/exercise";
import { uniform } from "../../lib/numeric/random";
import { handOverOf, type Predict, placeAnswer, type Way } from "./ways";

export interface Tried {
  readonly passed: boolean;
  readonly score: number;
  readonly words: string;
}

/** What each way is worth on one variant; ways that place no microphones, or the same ones, share the work of judging. */
export function tryAll(id: string, variant: number, predict: Predict): Map<Way, Tried> {
  const found = new Map<Way, Tried>();
  const entry = capstones.find((c) => c.id === id);
  const listed = catalogue.find((e) => e.id === id);
  const make = () => {
    if (entry) return capstoneOf(entry, variant);
    if (listed) return exerciseOf(listed, variant);
    throw new Error(`there is no exercise ${id}`);
  };
  const shared = entry
    ? [["nothing", "random", "drawing"], ["microphones"], ["copied"], ["careful"]]
    : [["nothing", "random", "drawing"], ["microphones"], ["copied", "careful"]];
  for (const group of shared as Way[][]) {
    const one = make();
    for (const way of group) {
      try {
        found.set(way, tried(one, way, uniform(7919 * variant + way.length), predict));
      } catch (error) {
        // What can't be decided from such microphones is no answer.
        found.set(way, { passed: false, score: 0, words: String(error) });
      }
    }
  }
  return found;
}

function tried(
  one: ReturnType<typeof exerciseOf> | ReturnType<typeof capstoneOf>,
  way: Way,
  random: () => number,
  predict: Predict,
): Tried {
  if ("minutesLeft" in one) {
    const { passed, score, parts } = one.check(handOverOf(one, way, random, predict));
    const words = parts.map((p) => `${p.part} ${p.score} (${p.loss_db.toFixed(2)}/${p.best_db.toFixed(2)})`);
    return { passed, score, words: words.join(", ") };
  }
  const { passed, score, loss_db, best_db } = one.check(placeAnswer(one, way, random, predict));
  return { passed, score, words: `${loss_db.toFixed(2)}/${best_db.toFixed(2)}` };
}

/** Keeps predictions by what they follow from. */
export function kept(most = 60): Predict {
  const known = new Map<string, ReturnType<Predict>>();
  return (venue, positions) => {
    const key = JSON.stringify([venue.sources, venue.boundaries, venue.air, positions]);
    const found = known.get(key) ?? modelSurvey(venue, positions);
    known.delete(key);
    known.set(key, found);
    for (const old of [...known.keys()].slice(0, Math.max(0, known.size - most))) known.delete(old);
    return found;
  };
}
