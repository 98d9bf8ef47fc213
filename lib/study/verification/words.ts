/** What may be wrong, in sentences with the remedy. */
import { signedDecibels } from "../../text/decibels";
import type { causeKinds } from "./result";

type Words = (part: string, value?: number) => string;

const lowerOrHigher = (x: number) => `${Math.abs(x).toFixed(1)} dB ${x < 0 ? "lower" : "higher"}`;
const laterOrEarlier = (x: number) => `${Math.abs(x).toFixed(2)} ms ${x < 0 ? "earlier" : "later"}`;

export const causeWords: Readonly<Record<(typeof causeKinds)[number], Words>> = {
  "nothing entered": () =>
    "Nothing of the setting was entered, or it isn't active: all plays as it was measured. Check that the processor's preset was stored and recalled.",
  polarity: (part) => `The polarity of the ${part} is the other one than was to be entered. Change it.`,
  "delay not entered": (part) => `The delay of the ${part} was not entered. Enter it.`,
  "delay of the other sign": (part) =>
    `The delay of the ${part} was entered with the other sign: they are earlier instead of later. Correct it.`,
  "level not entered": (part) => `The level of the ${part} was not entered. Enter it.`,
  "level of the other sign": (part) =>
    `The level of the ${part} was entered with the other sign. Correct it.`,
  "wrong group": (part) =>
    `The ${part} was entered on the wrong group. Enter it on the right one, and take it back there.`,
  "subs not heard": () => "The subs are not heard at all. Check that they are on, and not muted.",
  "mains not heard": () => "The mains are not heard at all. Check that they are on, and not muted.",
  "level of the subs": (_, x = 0) =>
    `The subs play ${lowerOrHigher(x)} than entered. Compare gains and limiters of the subs from the processor to the amplifiers.`,
  "level of the mains": (_, x = 0) =>
    `The mains play ${lowerOrHigher(x)} than entered. Compare gains and limiters of the mains from the processor to the amplifiers.`,
  delay: (part, x = 0) =>
    `The ${part} are ${laterOrEarlier(x)} than entered. Compare the delays in the processor, those of presets and of the network included.`,
  "part of the subs": (part) => `${part} Listen to each cabinet by itself.`,
  mains: (part) => `${part} Compare equalisation, filters and amplifiers of the mains.`,
  "one position": (part) => part,
  "positions swapped": (part) =>
    `The microphones at ${part} are swapped: each hears what the other one should. Exchange them in the show file.`,
};

/** What everything does alike. */
export const louderWords = (x: number): string =>
  `Everything plays ${signedDecibels(x)} relative to the measurement, at all positions and in all bands alike: a master level or the gains of the microphones, and no fault of the setting. It is taken out of the comparison.`;
