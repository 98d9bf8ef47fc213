/** Late by a filter, which nothing has to wait for, and late by a path, for which it has. */
import type { Filter } from "../../../acoustics/filters/filter";
import { groupDelay } from "../../../acoustics/filters/group-delay";
import { eitherWay, oneOf } from "../kinds/faults";
import type { SetUp } from "../task";
import { ask } from "./ask";

export function filterDelayTask(): SetUp {
  return ask((random) => {
    const order = oneOf(random, [4, 8] as const);
    const crossover = oneOf(random, [70, 80, 90, 100, 110]);
    const band = oneOf(random, [30, 35, 40, 45]);
    const filter: Filter = { kind: "linkwitz-riley", type: "lowpass", order, frequency: crossover };
    const late = 1000 * groupDelay(filter, band);
    const seen = Math.round(10 * (eitherWay(random, 1.5, 12) + late)) / 10;
    const answer = seen - late;
    return {
      words: `Mains and subs part at ${crossover} Hz, by a Linkwitz-Riley highpass and lowpass of order ${order}. At a microphone the beat of the subs, looked at in a narrow band around ${band} Hz, comes ${Math.abs(seen).toFixed(1)} ms ${seen < 0 ? "before" : "after"} the click of the mains in the treble, which their highpass hardly delays. By how many ms should the mains be delayed (negative: the subs), so that both are in phase through the crossover? Answer one number, in ms.`,
      answer,
      what: "the delay of the mains in ms",
      unit: "ms",
      within: [-60, 60],
      loss: "the level that the sum loses at the crossover",
      cost: (given) => lostInSum((given - answer) / 1000, crossover),
      tempting: [
        ["filter taken for a path", seen],
        ["filter taken for a path", late],
        ["wrong sign", -answer],
        ["no path seen", 0],
      ],
      why: "The lowpass is late by its group delay, −dφ/dω, in that band. The highpass of the pair turns the phase as much at each frequency, so nothing waits for that; what is left of the time is the path, and for that the nearer part waits.",
    };
  });
}

/** What two equal sounds lose by coming apart, dB: half a period and more of it is all that can be lost. */
function lostInSum(time: number, frequency: number): number {
  const periods = Math.min(0.5, Math.abs(time) * frequency);
  return 20 * Math.log10(1 / Math.max(LEFT, Math.cos(Math.PI * periods)));
}
/** Of a sum that cancels, since nothing is equal to the last: −20 dB. */
const LEFT = 0.1;
