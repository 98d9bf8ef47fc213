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

  "02 stops": number("How often you stop between 2 m and 18 m", "stops", 0.5),
  "02 two pascals": number("A level meter at 2 Pa shows", "dB", 1),
  "02 two subs": choice(
    "Two equal subs of 100 dB give",
    ["103 dB", "106 dB", "that depends on what they play"],
    "that depends on what they play",
  ),
  "02 feet": number("What distance takes from the first row to the last", "dB", 1),
  "02 one step": number("How many times more a metre takes at 2 m than at 18 m", "times", 2),
  "02 hang at 100 Hz": number("The hang's loss from 5 m to 40 m at 100 Hz", "dB", 2),
  "02 air": number("The air's share over 40 m at 8 kHz, 20 °C and 50 %", "dB", 1.5),
  "02 costly step": choice(
    "A step to the next row costs most",
    ["right before the subs", "in the middle of the stalls", "under the balcony"],
    "right before the subs",
  ),

  "03 paths": choice(
    "Nearly the same length have the two paths",
    ["to the first row", "to the last row", "from the hang", "from the sub"],
    "to the last row",
  ),
  "03 half": number("Half of the drift has happened at", "m", 2),
  "03 higher": choice("With a higher hang the balance with the subs gets", ["more even", "less even"]),
  "03 largest drift": choice(
    "The largest drift has",
    ["as drawn", "hang 2 m lower", "first row 2 m further out", "subs 1.5 m forward", "subs flown"],
    "subs 1.5 m forward",
  ),
  "03 aim": choice(
    "With distance, the mains lose",
    ["more than distance says", "as much as distance says", "less than distance says"],
    "less than distance says",
  ),
  "03 lower hang": choice("In row T the mains get", ["louder", "weaker"], "weaker"),
  "03 flown": number("Flown subs lose less from row A to row T, by", "dB", 1.5),
};
