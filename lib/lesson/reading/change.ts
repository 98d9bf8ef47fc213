/** What is to be done with the subs, as people write it: level, delay and polarity, each relative to what was found. */
import { directionsIn, ofLevelAlone, ofTimeAlone } from "./directions";
import { type Polarity, readPolarity } from "./polarity";
import { Ambiguous, type Clause, clausesOf, plain, type Quantity } from "./quantities";

/** Level in dB, positive is louder; delay in ms, positive is later, both of the subs. */
export interface Change {
  readonly offset: number;
  readonly delay: number;
  readonly polarity: Polarity;
}

type Part = "level" | "time";
const unitOf = { level: "dB", time: "ms" } as const;

/**
 * Reads a change of the subs.
 *
 * @param line  such as "2.5 dB lower, delay the mains 5 ms, polarity flipped"
 * @returns the change; what is said of the mains counts for the subs the other way round
 * @throws Ambiguous with a question where something is missing, or two people would read two things
 */
export function readChange(line: string): Change {
  const text = withoutReferences(plain(line));
  const clauses = joined(clausesOf(withoutPolarity(text)));
  const problems: string[] = [];
  const part = <T>(read: () => T): T | undefined => {
    try {
      return read();
    } catch (error) {
      if (!(error instanceof Ambiguous)) throw error;
      problems.push(error.message);
      return undefined;
    }
  };
  const offset = part(() => amount(clauses, "level"));
  const delay = part(() => amount(clauses, "time"));
  const polarity = part(() => polarityOf(text));
  if (offset === undefined || delay === undefined || polarity === undefined)
    throw new Ambiguous(problems.join("; it "));
  return { offset, delay, polarity };
}

/** "Lower than I found it" says as much as "lower". */
const withoutReferences = (text: string): string =>
  text
    .replace(/\b(?:low|bottom)[ -]end\b|\blow frequenc(?:y|ies)\b|\blows\b/g, "subs")
    .replace(
      /\b(before|after|below|above|under|over|behind) (?:what|where|how) (?:i|we|you|it|they)(?: (?:found|was|were|had))?(?: (?:it|them))?/g,
      "$1",
    )
    .replace(
      /\b(?:than|from|relative to|compared (?:to|with)|with respect to|vs\.?) (?:before|found|now|currently|yesterday|it was|they were|they are(?: now)?|it is(?: now)?|(?:what|as|how) (?:i|we|you) found(?: it| them)?|(?:the )?(?:current|present|found|old|last) (?:setting|level|delay|state)s?)\b/g,
      " found ",
    )
    .replace(/\b(?:relative to|compared (?:to|with)|with respect to) (?:the )?(?:mains?|pa|tops?)\b/g, " ");

const polarityWords =
  /\b(?:non[ -]?)?(?:polarity|pol|phase|invert\w*|inver\w*|inv|revers\w*|rev|flip\w*|normal|norm|nrm|positive|negative|pos|neg)\b\.?|ø|\b180\s*(?:°|deg(?:rees?)?)?|\b0\s*(?:°|deg(?:rees?)?)|\b(?:polarity|pol|phase)\b\.?\s*[:=]?\s*[+-]\s*1?\b/g;

/** Clauses about polarity say nothing of level and time. */
function withoutPolarity(text: string): string {
  return text
    .replace(/\b(?:polarity|pol|phase)\b\.?\s*[:=]?\s*[+-]?\s*1?(?=\s*(?:$|[,;.)]))/g, " ")
    .split(/(?<!\d)([,;.\n]|\band\b|\bthen\b|\bbut\b)/)
    .map((part) => {
      if (!isAbout.test(part)) return part;
      const numbers = /\d\s*(?:d\.?b|ms|milli|deci|s\b)/.test(part.replace(/\b180\b/, ""));
      return numbers ? part.replace(polarityWords, " ") : " ";
    })
    .join("");
}

function polarityOf(text: string): Polarity {
  const stated = text
    .replace(
      /[+-]?\s*\d+(?:\.\d+)?\s*-?\s*(?:d\.?bs?|deci-?bels?|ms|msecs?|milli-?seconds?|s|secs?|seconds?|m|met(?:re|er)s?)\b/g,
      " , ",
    )
    .replace(/\b(?:minus|plus)\b/g, " ");
  const both = /\b(?:left|right)\b.*\b(?:left|right)\b/.test(stated);
  const parts = stated
    .split(/[,;.\n]|\band\b/)
    .filter((part) => !aboutOthers.test(part) || isAbout.test(part));
  const ofMains = parts.filter((p) => mains.test(p) && isAbout.test(p) && readPolarity(p));
  const ofSubs = parts.filter((p) => subs.test(p) && isAbout.test(p) && readPolarity(p));
  if (ofMains.length === 1 && ofSubs.length === 1 && ofMains[0] !== ofSubs[0]) {
    const same = readPolarity(ofMains[0]) === readPolarity(ofSubs[0]);
    return same ? "normal" : "inverted";
  }
  const found = both ? undefined : readPolarity(parts.join(","));
  if (!found) throw new Ambiguous('does not say whether the polarity of the subs is "normal" or "inverted"');
  return found;
}

/** "Level unchanged" says nothing of polarity. */
const aboutOthers =
  /\b(?:level|gain|volume|fader|loudness|delay|time|timing|rest|else|everything|otherwise)\b/;
const isAbout = new RegExp(polarityWords.source);

const mains = /\b(?:mains?|pa|tops?|arrays?|hangs?|fills?|line array)\b/;
const subs = /\b(?:subs?|sub-?woofers?|subwoofers?|bass|lows?)\b/;

/** Clauses without a number belong to the next one that lacks what they say, else to the one before. */
function joined(clauses: readonly Clause[]): Clause[] {
  const found: Clause[] = clauses.map((c) => c);
  clauses.forEach((clause, i) => {
    if (clause.quantity || unchanged(clause.words)) return;
    const says = sayingOf(clause.words);
    if (!says) return;
    const fits = (other: Clause | undefined): other is Clause =>
      other?.quantity !== undefined &&
      !sayingOf(other.words, says.part) &&
      fitsUnit(other.quantity, says.part);
    const order = [...found.keys()].sort(
      (a, b) => (a > i ? a - i : 1000 + i - a) - (b > i ? b - i : 1000 + i - b),
    );
    const at = order.find((k) => fits(found[k]));
    if (at === undefined) return;
    const other = found[at];
    const first = at > i;
    found[at] = {
      quantity: other.quantity,
      words: first ? [...clause.words, ...other.words] : [...other.words, ...clause.words],
      before: other.before + (first ? clause.words.length : 0),
    };
    found[i] = { quantity: undefined, words: [], before: 0 };
  });
  return found;
}

const fitsUnit = (quantity: Quantity, part: Part | undefined): boolean =>
  part ? quantity.unit === unitOf[part] : quantity.unit === "dB" || quantity.unit === "ms";

/** Whether words without a number tell a direction or who moves, and of what. */
function sayingOf(words: readonly string[], part?: Part): { readonly part: Part | undefined } | undefined {
  const ways = part
    ? directionsIn(words, part)
    : [...directionsIn(words, "level"), ...directionsIn(words, "time")];
  const group = words.some((w) => mains.test(w));
  if (ways.length === 0 && !(group && !part) && !words.includes("delay") && !words.includes("delayed"))
    return undefined;
  const time = words.some((w) => ofTimeAlone(w) || /^delay/.test(w));
  const level = words.some((w) => ofLevelAlone(w) || /^(?:level|gain)$/.test(w));
  return { part: time === level ? undefined : time ? "time" : "level" };
}

const still =
  /\b(?:unchanged|untouched|same|as is|as it is|as they are|as found|found|stays?|stay|keep|kept|leave|left alone|no change|not changed|unaltered|don't touch|don't change|ok|okay|fine|zero|remains?)\b/;
const unchanged = (words: readonly string[]): boolean =>
  still.test(words.join(" ")) ||
  /\bno (?:level|gain|extra|additional|more|further|delay|timing|time)? ?(?:delay|level|gain)? ?change\b|\bno (?:extra|additional|further) delay\b/.test(
    words.join(" "),
  );
const named = {
  level: /\b(?:level|gain|volume|fader|loudness)\b/,
  time: /\b(?:delay|time|timing|alignment)\b/,
} as const;

/** The change of one kind, of the subs relative to the mains. */
function amount(clauses: readonly Clause[], part: Part): number {
  const what = part === "level" ? "level" : "delay";
  const own = clauses.filter((c) => c.quantity?.unit === unitOf[part]);
  if (own.length === 0) {
    const quiet = clauses.some(
      (c, i) =>
        !c.quantity &&
        unchanged([...c.words, ...labelBefore(clauses, i)]) &&
        (named[part].test([...c.words, ...labelBefore(clauses, i)].join(" ")) ||
          /\b(?:rest|else|otherwise|everything|all)\b/.test(c.words.join(" "))),
    );
    if (quiet) return 0;
    throw new Ambiguous(`has no ${what} (expected a number with its unit)`);
  }
  if (
    own.some((clause) =>
      clauses.some((c) => !c.quantity && nextTo(clauses, c, clause) && doubts.test(c.words.join(" "))),
    )
  )
    throw new Ambiguous(`leaves the ${what} open: which way is it?`);
  const groups = own.map((clause) => groupOf(clause, clauses));
  if (own.length > 2 || (own.length === 2 && groups[0] === groups[1]))
    throw new Ambiguous(`has more than one ${what}: which one?`);
  const sum = own.reduce((s, clause, i) => s + (groups[i] === "mains" ? -1 : 1) * signed(clause, part), 0);
  return sum === 0 ? 0 : Math.round(sum * 1e6) / 1e6;
}

const doubts = /\b(?:either|maybe|perhaps|possibly|probably|or)\b/;
const nextTo = (clauses: readonly Clause[], one: Clause, other: Clause): boolean =>
  clauses.indexOf(one) === clauses.indexOf(other) + 1;

/** "Level and delay unchanged": a label alone stands in the clause before. */
const labelBefore = (clauses: readonly Clause[], i: number): readonly string[] => {
  const last = clauses[i - 1];
  return last && !last.quantity && last.words.length <= 2 ? last.words : [];
};

function groupOf(clause: Clause, clauses: readonly Clause[]): "mains" | "subs" {
  const words = clause.words.join(" ");
  if (
    /\b(?:than|behind|after|before|below|above|under|over|ahead of|to match|as) (?:the )?(?:mains?|pa|tops?)\b/.test(
      words,
    )
  )
    throw new Ambiguous(
      "compares subs with mains: by how much is the setting to be changed from what was found?",
    );
  const [ofMains, ofSubs] = [mains.test(words), subs.test(words)];
  if (ofMains && ofSubs) throw new Ambiguous("names mains and subs for one number: which of them moves?");
  if (ofMains || ofSubs) return ofMains ? "mains" : "subs";
  const before = clauses.slice(0, clauses.indexOf(clause)).reverse();
  const last = before.find(
    (c) => c.quantity && (mains.test(c.words.join(" ")) || subs.test(c.words.join(" "))),
  );
  if (last && mains.test(last.words.join(" ")) && !/\b(?:level|gain|delay|timing)\b/.test(words))
    throw new Ambiguous(
      `does not say whether ${clause.quantity?.size} ${clause.quantity?.unit} are for the mains or for the subs`,
    );
  return "subs";
}

const states =
  /\b(?:is|are|was|were|arrives?|came|come in|comes in|sounds?|seems?|plays?|measured?|measures|feels?)\b/;
const orders =
  /\b(?:should|must|shall|can|could|need|needs|have to|has to|ought|to be|be|been|let|make|set|please|now)\b|\b(?:lowered|raised|delayed|reduced|increased|decreased|dropped|boosted|attenuated|advanced|turned|pulled|pushed|moved|brought|cut|added|removed)\b/;
const askers =
  /\b(?:adjust(?:ed|ment)?|change[ds]?|trim(?:med)?|tweak(?:ed)?|shift(?:ed)?|correct(?:ed|ion)?|offset by|differ\w*|compensat\w+|wrong|error|either|maybe|perhaps|possibly|probably|not|no|don't|never|n't)\b/;
const neutral = new Set(
  "subs sub subwoofer subwoofers sub-woofers bass mains main pa top tops array arrays hang hangs fill fills the a an by of in on to at for with it its them their they i we you have has had been be should must please level gain volume fader delay delays time timing db ms all group groups setting set is are let need needs me my now about around approx roughly only just exactly again change relative found ca circa well change".split(
    " ",
  ),
);

/** A number with the direction that its clause states. */
function signed(clause: Clause, part: Part): number {
  const { size, sign } = clause.quantity as Quantity;
  const words = clause.words.join(" ");
  const value = `${size} ${unitOf[part]}`;
  if (size === 0) return 0;
  if (/\btoo\b/.test(words))
    throw new Ambiguous(
      `says what is wrong ("too …"), not what to change: is ${value} to be added or taken off?`,
    );
  if (clause.before > 0 && /\b(?:to|from)$/.test(clause.words.slice(0, clause.before).join(" ")))
    throw new Ambiguous(
      `says what is set in the end ("to ${value}"): by how much is it changed from what was found?`,
    );
  const ways = directionsIn(clause.words, part);
  if (states.test(words) && !orders.test(words) && ways.length > 0)
    throw new Ambiguous(`may say what was found or what to do: is ${value} the fault or the change?`);
  if (new Set(ways).size > 1) throw new Ambiguous(`has words for both directions beside ${value}`);
  if (/\b(?:not|don't|never|n't|no)\b/.test(words) && ways.length > 0)
    throw new Ambiguous(`says "not" beside ${value}: what is to be done instead?`);
  const delays = part === "time" && /\bdelay(?:ed|ing|s)?\b|\bdly\b/.test(words);
  const [way] = ways;
  if (sign === 0) {
    if (way) return way * size;
    if (delays) return size;
    const strange = clause.words.find((word) => !neutral.has(word));
    if (askers.test(words) || strange !== undefined)
      throw new Ambiguous(
        `has no direction that I know beside ${value}${strange ? ` ("${strange}")` : ""}: write ${part === "level" ? '"lower" or "louder"' : '"earlier" or "later"'}, or a sign`,
      );
    return size;
  }
  if (way === undefined || (sign === 1 && way === 1)) return sign * size;
  throw new Ambiguous(
    sign === way
      ? `has a minus and a word that says the same beside ${value}: leave one out`
      : `has a sign and a word that says the opposite beside ${value}`,
  );
}
