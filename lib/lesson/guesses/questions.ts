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

  "05 wall": choice(
    "The wall gives less than no wall at",
    ["no frequency", "one frequency", "a series of frequencies"],
    "a series of frequencies",
  ),
  "05 by hand": number("The wall's distance for a notch at 40 Hz", "m", 0.3),
  "05 centre": choice(
    "The sound seems to come from",
    ["inside the box", "its front", "before its front"],
    "before its front",
  ),
  "05 mirror": choice("As you walk toward the sub the notch moves", ["up", "down"], "up"),
  "05 stays": choice(
    "Nearly the same notch in every row has",
    ["the wall behind", "the side wall", "the ceiling", "the second sub"],
    "the wall behind",
  ),
  "05 half absorbed": number("The notch's depth with half of the sound absorbed", "dB", 1.5),
  "05 equaliser": choice(
    "At seat A 9 dB more",
    ["fill the notch", "leave it as deep as before"],
    "leave it as deep as before",
  ),
  "05 small wall": choice(
    "At 30 Hz a wall of 5 m reflects",
    ["as an endless one", "less", "nothing"],
    "less",
  ),
  "05 cavity": choice("From row to row its dip", ["stays", "wanders"], "stays"),

  "08 ring": number("The hall's reverberation time", "s", 0.3),
  "08 eyring": choice(
    "They differ by more than 10 % from a mean absorption of",
    ["0.05", "0.2", "0.5", "0.8"],
    "0.2",
  ),
  "08 bass longest": choice(
    "Bass rings longest in",
    ["none of the six", "two of the six", "four of the six", "all six"],
    "two of the six",
  ),
  "08 takes over": choice("The room takes over at", ["3 m", "10 m", "30 m"], "3 m"),
  "08 sub": number("The sub's direct sound relative to the room, at 12 m", "dB", 3),
  "08 turned down": choice(
    "The ratio of direct sound to room improves",
    ["by 6 dB", "by 3 dB", "not at all"],
    "not at all",
  ),
  "08 arena": choice(
    "The Schroeder frequency of the arena lies",
    ["above the cellar's", "below the cellar's"],
    "below the cellar's",
  ),
  "08 modes": number("Modes of the cellar below 50 Hz", "modes", 6),
  "08 coherence": choice(
    "Toward the last pew the coherence of the subs",
    ["rises", "stays", "falls"],
    "falls",
  ),
  "08 fills": choice(
    "Half of the dip or more can be filled by",
    ["none of them", "one of them", "several of them"],
    "several of them",
  ),

  "10 by ear": choice("The audience gets", ["4 dB too much", "4 dB too little"], "4 dB too little"),
  "10 smallest bias": choice("The bias is smallest", ["on the centre line", "beside it"], "beside it"),
  "10 centre": choice(
    "Near the centre line the bias is",
    ["smaller than elsewhere", "larger than elsewhere"],
    "larger than elsewhere",
  ),
  "10 step": number("Bass over a metre to the side, at most", "dB", 1),
  "10 lacks": choice(
    "The engineer",
    ["raises 50 Hz, and the audience hears too much", "lowers 50 Hz, and the audience hears too little"],
    "raises 50 Hz, and the audience hears too much",
  ),
  "10 least bass": choice(
    "The least bass has",
    ["the best position", "the worst position", "the one close to the mean"],
    "the worst position",
  ),
  "10 drawing": number("The position on the drawing is worse than the best, by", "dB", 0.7),
  "10 power": number("The audience is short of sub power, by a factor of", "times", 0.3),
};
