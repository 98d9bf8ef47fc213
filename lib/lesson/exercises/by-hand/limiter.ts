/** Cabinets for a level that the limiters of those there are refuse. */
import { between } from "../kinds/faults";
import type { SetUp } from "../task";
import { ask } from "./ask";

export function limiterTask(): SetUp {
  return ask((random) => {
    const cabinets = Math.round(between(random, 3, 16));
    const headroom = between(random, 1, 4);
    const missing = between(random, 3, 8);
    const more = Math.round(10 * (headroom + missing)) / 10;
    const times = (decibels: number, factor: number) =>
      Math.ceil(cabinets * 10 ** (decibels / factor) - 1e-9);
    const answer = times(missing, AMPLITUDE);
    return {
      words: `${cabinets} cabinets stand close together. The audience wants ${more.toFixed(1)} dB more of them; their limiters act ${headroom.toFixed(1)} dB above the peaks as they are. How many cabinets of that kind, close together and in phase, does it take in all, each with what its limiter allows? Answer one whole number.`,
      answer,
      what: "how many cabinets there are then",
      unit: "cabinets",
      within: [1, 1000],
      loss: "the level that is missing, or that nobody has asked for,",
      cost: (given) => Math.abs(20 * Math.log10(Math.ceil(given) / answer)),
      tempting: [
        ["raised regardless", cabinets],
        ["powers for pressures", times(missing, POWER)],
        ["headroom unused", times(more, AMPLITUDE)],
      ],
      why: "Each is raised by the headroom, and no further. What is missing then comes from more of them: in phase their pressures add, so twice as many are 6 dB, and the number grows by 10^(missing / 20).",
    };
  });
}

/** Decibels to a ratio of pressures. */
const AMPLITUDE = 20;
/** Decibels to a ratio of powers. */
const POWER = 10;
