/**
 * The predictions of the course, lesson by lesson, in their order there. The lesson's own text asks them in full; here stands
 * what the form is called and what may be answered. A right choice stands here and not in the cell, where it could be read before.
 */
import type { ChoiceQuestion, NumberQuestion, SketchQuestion } from "./question";

const number = (asks: string, unit: string, near: number, on?: NumberQuestion["on"]): NumberQuestion =>
  on === undefined ? { asks, unit, near } : { asks, unit, near, on };
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
  "03 half": number("Half of the drift has happened at", "m", 2, "x"),
  "03 higher": choice("With a higher hang the balance with the subs gets", ["more even", "less even"]),
  "03 largest drift": choice(
    "The largest drift has",
    ["as drawn", "hang 2 m lower", "first row 2 m further out", "subs 1.5 m forward", "subs flown"],
    "subs 1.5 m forward",
  ),
  "03 aim": {
    asks: "The mains from row A to row T, relative to row A",
    unit: "dB",
    near: 2,
    points: [
      { name: "row A", x: 2.5 },
      { name: "row D", x: 5.6 },
      { name: "row H", x: 9 },
      { name: "row L", x: 12.5 },
      { name: "row P", x: 16 },
      { name: "row T", x: 20.3 },
    ],
    low: -15,
    high: 10,
    step: 0.5,
    tick: 5,
  } satisfies SketchQuestion,
  "03 lower hang": choice("In row T the mains get", ["louder", "weaker"], "weaker"),
  "03 flown": number("Flown subs lose less from row A to row T, by", "dB", 1.5),

  "04 flight": number("The mix engineer's microphone hears the hang later by", "ms", 10),
  "04 samples": number("Shown by a look at the samples", "of the eight", 0.5),
  "04 hot and cold": choice(
    "A swap of hot and cold shows",
    ["to the ear, in that channel alone", "in its level", "in neither"],
    "in neither",
  ),
  "04 strongest": choice("The strongest arrival is", ["the hang's", "another one"], "another one"),
  "04 quick": choice(
    "The quick window",
    ["shows the ripple just as well", "smears it over its neighbours", "makes it larger"],
    "smears it over its neighbours",
  ),
  "04 rough": choice("Near the generator the trace is", ["too loud", "too soft", "just rough"], "just rough"),
  "04 clipped": choice("The clipped channel's coherence is", ["far worse", "hardly worse"], "hardly worse"),
  "04 band": choice(
    "The band is widest",
    ["in the lows", "where the generator speaks", "at the top"],
    "where the generator speaks",
  ),
  "04 notch": number("The two cancel first at", "Hz", 20, "x"),
  "04 inverted": choice("An inverted microphone is", ["noticed", "not noticed"], "not noticed"),
  "04 differ": choice(
    "They differ most",
    ["in the lows", "where the ground cancels"],
    "where the ground cancels",
  ),
  "04 average": number("The average of the four by power", "dB", 0.7),
  "04 harmonic": choice(
    "The second harmonic lands",
    ["before the direct sound", "after it"],
    "before the direct sound",
  ),
  "04 clocks": choice(
    "The trace loses",
    ["its lows", "its treble", "a little of all", "nothing"],
    "its treble",
  ),
  "04 calibrated": choice("The level in row three is", ["3 dB low", "right"], "right"),

  "05 wall": {
    asks: "Gain or loss by the wall",
    unit: "dB",
    near: 4,
    points: [25, 40, 50, 63, 80, 100, 125, 160].map((x) => ({ name: `${x} Hz`, x })),
    log: true,
    low: -20,
    high: 10,
    step: 1,
    tick: 10,
  } satisfies SketchQuestion,
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

  "06 sum": number("Two equal sounds 120° apart, relative to one alone", "dB", 1, { x: 120 }),
  "06 turn": number("Two milliseconds at 90 Hz", "°", 15),
  "06 flat": choice(
    "Flat sums",
    ["Linkwitz–Riley, order 4", "Butterworth, order 4", "Linkwitz–Riley, order 2"],
    "Linkwitz–Riley, order 4",
  ),
  "06 late": choice("For the lowpass the mains have to", ["wait 5 ms", "wait less", "not wait"], "not wait"),
  "06 room": choice(
    "At the mix position the sum is",
    ["near the in-phase sum throughout", "many decibels below it in places"],
    "many decibels below it in places",
  ),
  "06 rest": choice(
    "The rest of the room",
    ["gains as much", "gains next to nothing", "loses as much"],
    "gains next to nothing",
  ),
  "06 heard": choice(
    "Easier to tell apart are",
    ["as currently set and in phase", "in phase and inverted"],
    "in phase and inverted",
  ),
  "06 zero": choice("Nothing is lost", ["at no seat", "at some seats"]),
  "06 grow": choice(
    "From the front to the back the best delay",
    ["grows", "shrinks", "stays", "does none of the three"],
    "does none of the three",
  ),
  "06 voice": choice("The voice comes from", ["the stage", "the second pair"], "the stage"),
  "06 win": choice(
    "Aligned, the pairs differ by",
    ["tenths of a decibel", "one or two decibels", "three decibels or more"],
    "tenths of a decibel",
  ),

  "07 walk": choice(
    "As you come nearer to one stack the bass gets",
    ["louder all the way", "softer, then louder, then softer", "softer all the way"],
    "softer, then louder, then softer",
  ),
  "07 spacing": number("How far apart at most, up to 80 Hz", "m", 0.3),
  "07 block": number("Four touching cabinets in front, relative to one", "dB", 1),
  "07 line": choice(
    "Than one cabinet the line of eight covers",
    ["a wider field", "a narrower field"],
    "a narrower field",
  ),
  "07 bend": choice("With the outer cabinets later the beam gets", ["wider", "narrower"], "wider"),
  "07 back": choice(
    "Louder in front, and cancelling behind at all frequencies, are",
    ["end-fire, gradient", "gradient, end-fire", "end-fire both times", "gradient both times"],
    "end-fire, gradient",
  ),
  "07 column": choice("Eight under each other leave out", ["left and right", "up and down"], "up and down"),
  "07 twelve": choice("The most even, and the quietest on stage, are", [
    "line, end-fire",
    "line, gradient",
    "arc, gradient",
    "arc, end-fire",
    "block, gradient",
    "pair, end-fire",
  ]),
  "07 stripe": choice("Six metres to the side there is", ["just less bass", "another bass"], "another bass"),
  "07 angle": choice("Most people get their share at", ["0°", "40°", "90°", "150°"], "40°"),
  "07 hall": number("Gradient pairs keep the stage quieter by", "dB", 1.5),
  "07 search": choice(
    "More even than your arc the search finds",
    ["nothing", "something, with as many cabinets", "something, with fewer cabinets"],
    "something, with fewer cabinets",
  ),

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

  "09 who": number("Between whoever wants the least and the most", "dB", 1.5),
  "09 three": choice(
    "Subs 3 dB higher raise a seat's deviation by",
    ["3 dB at every seat", "some 3 dB, not the same everywhere", "half of that"],
    "some 3 dB, not the same everywhere",
  ),
  "09 decides": choice(
    "One seat decides in",
    ["the first, the mean", "the second, the mean square", "the third, the worst"],
    "the third, the worst",
  ),
  "09 miss": number("How far you may miss the best, to either side", "dB", 0.5),
  "09 ear": choice(
    "The larger step is",
    ["from the front to the back", "from the best level to the front row's"],
    "from the front to the back",
  ),
  "09 allowed": number("Allowed at 97 dB(A)", "minutes", 5),
  "09 limit": number("The subs' rise before the limit stops them", "dB", 5),
  "09 tilt": choice(
    "For 9 dB instead of 6 the subs rise by",
    ["3 dB, as even as before", "3 dB, and less even", "much less than 3 dB"],
    "3 dB, as even as before",
  ),
  "09 softer": choice(
    "With 10 dB less of all, the bass seems",
    ["as before", "thinner", "fuller"],
    "thinner",
  ),
  "09 beat": number("How much louder the beat gets", "dB", 1, { x: 9 }),

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

  "11 lowest": choice("The lowest level is called for by", ["the one in front", "one further back"]),
  "11 triple": choice(
    "Better for the whole room are",
    ["three down the middle", "three at different distances from it"],
    "three at different distances from it",
  ),
  "11 level first": choice("After the delay the level is", ["still right", "no longer right"]),
  "11 fuller": choice("Fuller sounds", ["the first", "the last"]),

  "12 files": choice(
    "Left out can be",
    ["what was playing", "which channel holds what was sent", "where each stood", "how loud it was"],
    "how loud it was",
  ),
  "12 numbers": choice(
    "Last on the list comes",
    ["the hangs' height", "the first and the last row", "the wall behind the subs", "the reverberation"],
    "the reverberation",
  ),
  "12 pass": number("Microphones that pass", "", 0.5),
  "12 agree": choice(
    "Agree should",
    ["the broad shape and the slope from row to row", "the single dips", "every line"],
    "the broad shape and the slope from row to row",
  ),
  "12 level": choice("They ask", ["for the same", "for different levels"]),
  "12 complains": choice("More than 3 dB off is", ["the front", "the back", "both", "neither"]),
  "12 one take": choice(
    "Told apart by one take are",
    ["none of the three", "only the microphone", "all three"],
    "all three",
  ),

  "13 plan": choice(
    "Measured must be",
    ["time and level", "level and position", "position and time"],
    "time and level",
  ),
  "13 centre": choice("The best position is", ["on the centre line", "beside it"]),
  "13 nought": choice("The hand-over is then worth", ["less", "no less"], "no less"),
};
