/** Words that say which way: louder or softer, later or earlier, more or less. */

/** Words of level alone, of time alone, and of both. */
const level = signs({
  up: "louder loud hotter hot boost boosted boosting stronger strong lift lifted heavy heavier high bigger",
  down: "quieter quiet softer soft weaker weak attenuate attenuated attenuating low lowered lower lowering under below beneath",
  verbsUp: "above over",
});
const time = signs({
  up: "later late behind after",
  down: "earlier early sooner soon ahead before advance advanced advancing forward",
});
const either = signs({
  up: "up raise raised raising rise increase increased increasing add added adding more higher extra additional longer gained",
  down: "down reduce reduced reducing decrease decreased decreasing drop dropped dropping cut cutting less fewer off remove removed removing subtract subtracted out shorter shorten shortened",
});
/** What is heard: words that would be odd in an order. */
const heard = signs({
  up: "peak bump hump boomy rich resonance emphasis much surplus excess plenty",
  down: "dip notch null hole miss misses missing lack lacks lacking lose loses short shy light thin lighter thinner little few gap shortage deficit",
});

function signs(words: Record<string, string>): ReadonlyMap<string, 1 | -1> {
  return new Map(
    Object.entries(words).flatMap(([way, list]) =>
      list.split(" ").map((word) => [word, /up/i.test(way) ? 1 : -1] as [string, 1 | -1]),
    ),
  );
}

export type Kind = "level" | "time" | "heard";

const known: Record<Kind, readonly ReadonlyMap<string, 1 | -1>[]> = {
  level: [level, either],
  time: [time, either],
  heard: [level, either, heard],
};

/** A word's direction; undefined where it has none of this kind. */
export function directionOf(word: string, kind: Kind): 1 | -1 | undefined {
  if (kind === "heard" && (word === "off" || word === "out")) return undefined;
  if (kind === "level" && word === "back") return -1;
  for (const map of known[kind]) {
    const found = map.get(word);
    if (found) return found;
  }
  return undefined;
}

/** Whether a word has a direction of time and none of level, or the other way round. */
export const ofTimeAlone = (word: string): boolean => time.has(word);
export const ofLevelAlone = (word: string): boolean => level.has(word);

const degrees = new Map([
  ["more", 1],
  ["less", -1],
] as const);

/**
 * Directions that a clause states: "more quiet" and "less loud" are one each.
 *
 * @returns every direction that its words state, in order
 */
export function directionsIn(words: readonly string[], kind: Kind): (1 | -1)[] {
  const found: (1 | -1)[] = [];
  for (let i = 0; i < words.length; i++) {
    const degree = degrees.get(words[i] as "more" | "less");
    const next = degree && directionOf(words[i + 1] ?? "", kind);
    const way = degree && next ? ((degree * next) as 1 | -1) : directionOf(words[i], kind);
    if (degree && next) i++;
    if (way) found.push(way);
  }
  return found;
}
