/** Bass for the same balance of loudness at another level. */
import { equalLoudness } from "../../../acoustics/level/loudness";
import { eitherWay, oneOf } from "../kinds/faults";
import type { SetUp } from "../task";
import { ask } from "./ask";

/** Frequencies of ISO 226's table, hertz. */
const tones = [31.5, 40, 50, 63, 80];

export function loudnessTask(): SetUp {
  return ask((random) => {
    const tone = oneOf(random, tones);
    const by = Math.round(eitherWay(random, 8, 24));
    const before = Math.round(by > 0 ? 86 - by : 86) - Math.round(6 * random());
    const after = before + by;
    const rise = equalLoudness(after, tone) - equalLoudness(before, tone);
    const answer = rise - by;
    return {
      words: `At the rehearsal a tone of ${tone} Hz was as loud as one of 1 kHz at ${before} dB. For the show the master fader ${by < 0 ? "comes down" : "goes up"} by ${Math.abs(by)} dB, for everything alike. By how many dB should ${tone} Hz be raised besides (lowered: negative), so that the two are equally loud again? Answer one number, in dB.`,
      answer,
      what: `the change of ${tone} Hz in dB`,
      unit: "dB",
      within: [-40, 40],
      loss: "the level by which the bass is off for the ear",
      tempting: [
        ["ear taken for a meter", 0],
        ["wrong sign", -answer],
        ["master fader forgotten", rise],
      ],
      why: "Each contour is lower in the bass by less than it is at 1 kHz: acoustics.loudness.contour(phon, frequency) at both levels says by how much. The master fader takes as much from both, and the difference is left to be done (ISO 226).",
    };
  });
}
