/**
 * The predictions of the course, lesson by lesson, in their order there. The lesson's own text asks them in full; here stands
 * what the form is called and what may be answered. A right choice stands here and not in the cell, where it could be read before.
 */
import type { ChoiceQuestion, NumberQuestion } from "./question";

const number = (asks: string, unit: string, near: number): NumberQuestion => ({ asks, unit, near });
const choice = (asks: string, choices: readonly string[], right?: string): ChoiceQuestion =>
  right === undefined ? { asks, choices } : { asks, choices, right };

export const questions = {
  "01 drift": number("The sub relative to the hang, 20 m from the stage", "dB", 1),
  "01 rows": choice(
    "The distance to the hang changes least",
    ["in front", "in the middle", "at the back"],
    "in front",
  ),
  "01 right hang": choice("The right hang is", ["number 2", "number 3"], "number 3"),
  "01 traces": choice(
    "The traces of the six rows have",
    ["the same shape, at lower level toward the back", "different shapes as well"],
    "different shapes as well",
  ),
  "01 every frequency": choice("Do the subs lose more than the mains at every frequency?", ["yes", "no"]),
  "01 front row": choice("The rest of the house gets", ["too much bass", "too little bass"]),
  "01 most bass": choice("Most bass has", ["row A", "the mix position", "row T"], "row A"),
};
