/** What is heard at a position relative to the audience, as people write it. */
import { directionsIn } from "./directions";
import { Ambiguous, type Clause, clausesOf, plain } from "./quantities";

/**
 * Reads how much bass is heard at a position relative to the audience.
 *
 * @param line  such as "1.5 dB less bass than the audience", "you hear 1.5 dB too little" or "the crowd gets 1.5 dB more"
 * @returns dB; positive is more at the position
 * @throws Ambiguous with a question where something is missing, or two people would read two things
 */
export function readHeard(line: string): number {
  const text = named(plain(line));
  const clauses = clausesOf(text).filter((c) => c.quantity === undefined || c.quantity.unit === "dB");
  const own = clauses.filter((c) => c.quantity);
  if (own.length > 1) throw new Ambiguous("has more than one number of decibels: which one?");
  if (own.length === 0) {
    const alike =
      /\b(?:same|equal|equals|exactly|identical|no difference|nothing|zero|none|as much as|no deviation|no correction)\b/;
    if (alike.test(text)) return 0;
    throw new Ambiguous("has no number (expected a number with its unit)");
  }
  const [clause] = own;
  const around = withNeighbours(clause, clauses);
  const flip = audienceIsSubject(around) ? -1 : 1;
  const value = flip * heardAmount(around, flip === -1);
  return value === 0 ? 0 : value;
}

const here = "here";
const people = "people";

/** One word for who stands there, one for the audience. */
const named = (text: string): string =>
  text
    .replace(/\b(?:low|bottom)[ -]end\b|\blow frequenc(?:y|ies)\b|\blows\b/g, "bass")
    .replace(/\bbass[ -](light|heavy|shy)\b/g, "$1")
    .replace(
      /\b(?:mix(?:ing)?|reference|your|this|that|engineer's) (?:position|engineer|desk|spot|place|point)\b|\bfront of house\b|\bfoh\b|\b(?:desk|console|there|you|you'll|you'd|engineer|mixer)\b/g,
      here,
    )
    .replace(
      /\b(?:house|room|audience|overall) (?:average|mean)\b|\b(?:audience|public|crowd|house|everyone|everybody|listeners|others|anyone|anybody|they|them|seats|average|mean)\b/g,
      people,
    );

const withNeighbours = (clause: Clause, clauses: readonly Clause[]): Clause => {
  const i = clauses.indexOf(clause);
  const silent = clauses.filter(
    (c, k) => !c.quantity && Math.abs(k - i) === 1 && !negated.test(c.words.join(" ")),
  );
  const more = silent.filter(
    (c) => directionsIn(clause.words, "heard").length === 0 && directionsIn(c.words, "heard").length > 0,
  );
  return { ...clause, words: [...clause.words, ...more.flatMap((c) => c.words)] };
};

const negated = /\b(?:don't|dont|do not|never|without|not|no need|leave|keep)\b/;
const comparing =
  /\b(?:than|relative to|compared (?:to|with)|against|vs|versus|below|above|under|over|beneath|of|as|like|from)\b/;

function audienceIsSubject({ words }: Clause): boolean {
  const at = words.indexOf(people);
  return at >= 0 && !comparing.test(words.slice(0, at).join(" "));
}

const commands =
  /^(?:add|added|turn|boost|raise|cut|compensate|correct|mix|apply|push|pull|needs?|want|wants|should|must|eq|increase|decrease|reduce|bring|take|aim|give|make|set|put)$/;
const neutral = new Set(
  `${here} ${people} bass low sub subs energy db hear hears heard get gets have has is are sounds the a an of in at by for to with about around roughly only just relative compared than on level it expect and i measured found low-frequency low-band do does who`.split(
    " ",
  ),
);

function heardAmount({ quantity, words }: Clause, flipped: boolean): number {
  const { size = 0, sign = 0 } = quantity ?? {};
  if (size === 0) return 0;
  const value = `${size} dB`;
  const order = words.find((word) => commands.test(word));
  if (order)
    throw new Ambiguous(
      `says what to do ("${order}"): how much bass is heard there, more or less than in the audience?`,
    );
  const states = words.filter((word) => !skipped(word, words));
  const ways = directionsIn(states, "heard");
  if (new Set(ways).size > 1) throw new Ambiguous(`has words for both directions beside ${value}`);
  if (/\b(?:not|never|n't)\b/.test(words.join(" ")) && ways.length > 0)
    throw new Ambiguous(`says "not" beside ${value}: what is heard instead?`);
  const [way] = ways;
  if (sign === 0) {
    if (way) return way * size;
    const strange = words.find((word) => !neutral.has(word));
    if (strange !== undefined || flipped)
      throw new Ambiguous(
        `has no direction that I know beside ${value}${strange ? ` ("${strange}")` : ""}: more or less than the audience?`,
      );
    return size;
  }
  if (flipped) throw new Ambiguous(`has a sign for the audience: say who hears ${value} more`);
  if (way === undefined || (sign === 1 && way === 1)) return sign * size;
  throw new Ambiguous(
    sign === way
      ? `has a minus and a word that says the same: leave one out`
      : `has a sign and a word that says the opposite`,
  );
}

/** "Low" says less only where it stands after what is low: "low bass" is a band. */
const skipped = (word: string, words: readonly string[]): boolean =>
  word === "low" && /^(?:bass|frequency|band|sub)$/.test(words[words.indexOf(word) + 1] ?? "");
