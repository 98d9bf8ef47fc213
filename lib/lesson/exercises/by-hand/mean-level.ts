/** The mean of levels: by power, since power is what there is of a sound. */
import { meanLevel } from "../../../acoustics/level/decibel";
import { mean } from "../../../numeric/statistics";
import { between } from "../kinds/faults";
import type { SetUp } from "../task";
import { ask } from "./ask";

export function meanLevelTask(): SetUp {
  return ask((random) => {
    const around = between(random, 82, 104);
    const count = 3 + Math.floor(3 * random());
    const levels = Array.from({ length: count }, () => around + between(random, -2, 2));
    // One in a dip, or two of many.
    for (let i = 0; i < count - 3; i++) levels[i] -= between(random, 14, 24);
    levels[count - 1] -= between(random, 14, 24);
    const given = levels.map((level) => level.toFixed(1));
    const read = given.map(Number);
    return {
      words: `At 50 Hz the subs reach ${given.slice(0, -1).join(", ")} and ${given[count - 1]} dB at ${count} positions. Which level stands for all of them together, when each counts as much as the others? Answer one number, in dB.`,
      answer: meanLevel(read),
      what: "the mean level in dB",
      unit: "dB",
      within: [0, 160],
      loss: "the level by which the mean is missed",
      tempting: [
        ["decibels averaged", mean(read)],
        ["sum for mean", meanLevel(read) + 10 * Math.log10(count)],
        ["loudest for all", Math.max(...read)],
      ],
      why: "What positions receive together is the mean of their powers: 10 lg of the mean of 10^(L/10). A mean of the decibels lets one dip outweigh all others (energetic mean, ISO 3382-1).",
    };
  });
}
