/** How loud a delayed loudspeaker may be before the voice is heard from it. */
import { between, eitherWay } from "../kinds/faults";
import type { SetUp } from "../task";
import { ask } from "./ask";

export function firstArrivalTask(): SetUp {
  return ask((random) => {
    const gap = eitherWay(random, 7, 27);
    const fill = between(random, 8, 12);
    const hang = fill + between(random, 22, 30);
    const louder = between(random, -4, 6);
    const delay = Math.round(gap + (1000 * (hang - fill)) / SPEED);
    const follows = gap > 0;
    const most = follows ? KEPT : -KEPT;
    const beside = `${Math.abs(louder).toFixed(1)} dB ${louder < 0 ? "softer" : "louder"}`;
    return {
      words: `In the last row the hang is ${hang.toFixed(1)} m away, a second pair of loudspeakers ${fill.toFixed(1)} m and ${beside} than the hang. The pair plays ${delay} ms late; sound travels ${SPEED} m/s. By how many dB may the pair be raised at most (must it be lowered: negative), so that a voice still comes from the stage? Of two copies 5 to 30 ms apart the first keeps its place until the other is ${KEPT} dB louder. Answer one number, in dB.`,
      answer: most - louder,
      what: "the change of the pair's level in dB",
      unit: "dB",
      within: [-40, 40],
      loss: "the level by which the limit is missed",
      tempting: [
        ["loudest is heard", -louder],
        ["who comes first", -most - louder],
        ["level there forgotten", most],
      ],
      why: "First who comes first: the way of each over the speed of sound, and the pair's delay on top. The first one is where the voice is heard, until the other is 10 dB louder; if that is the pair, it must be 10 dB softer than the hang (precedence; Haas 1951, for speech).",
    };
  });
}

/** Metres per second. */
const SPEED = 343;
/** How much louder what follows may be, dB (Haas, Acustica 1, 1951, from memory). */
const KEPT = 10;
