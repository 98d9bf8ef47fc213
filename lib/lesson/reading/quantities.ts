/** Numbers with their units in a written line, and the words that belong to each. */

/** What a number counts; "none" for one without a unit. */
export type Unit = "dB" | "ms" | "Hz" | "m" | "other" | "none";

export interface Quantity {
  readonly unit: Unit;
  /** Size in this unit, without its sign. */
  readonly size: number;
  /** The sign that was written; 0 where none was. */
  readonly sign: -1 | 0 | 1;
}

/** Part of a line: a quantity with the words around it, or words alone. */
export interface Clause {
  readonly quantity: Quantity | undefined;
  /** Words before and after the quantity, in order, in lower case. */
  readonly words: readonly string[];
  /** How many of the words stand before it. */
  readonly before: number;
}

/** Two people would read two things; the sentence asks which. */
export class Ambiguous extends Error {}

type Token =
  | { readonly kind: "quantity"; readonly quantity: Quantity }
  | { readonly kind: "word"; readonly word: string }
  | { readonly kind: "break" };

const counts = ["zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten"];
const units: readonly (readonly [Unit, number, string])[] = [
  ["dB", 1, "d\\.?bs?|deci-?bels?"],
  ["ms", 1, "ms|msecs?|mili?-?sec(?:ond)?s?|milli-?sec(?:ond)?s?|millis"],
  ["ms", 1e-3, "[µμu]s|micro-?sec(?:ond)?s?"],
  ["ms", 1e3, "s|secs?|seconds?"],
  ["Hz", 1e3, "khz|kilo-?hertz"],
  ["Hz", 1, "hz|hertz"],
  ["m", 1, "m|met(?:re|er)s?"],
  ["other", 1, "ft|feet|foot|cm|samples?|smp|%|percent"],
];
const anyUnit = units.map(([, , pattern]) => pattern).join("|");
const unitEnd = "(?![a-zµμ])";
const number = "\\d+(?:\\.\\d+)?|\\.\\d+";

/** Lower case, one kind of minus, decimal points, and numbers in digits. */
export function plain(line: string): string {
  let text = line
    .normalize("NFKC")
    .toLowerCase()
    .replace(/[−‒﹣]/g, "-")
    .replace(/[–—](?=\s*\.?\d)/g, "-")
    .replace(/[–—]/g, ";")
    .replace(/[‘’]/g, "'")
    .replace(/(\d),(?=\d)/g, "$1.");
  const count = counts.join("|");
  const before = `(?=[\\s-]+(?:${anyUnit})${unitEnd})`;
  text = text
    .replace(new RegExp(`\\b(${count}|\\d+) and a half${before}`, "g"), (_, n) => `${countOf(n) + 0.5}`)
    .replace(
      new RegExp(`\\b(${count}) point (${count})${before}`, "g"),
      (_, n, d) => `${countOf(n)}.${countOf(d)}`,
    )
    .replace(new RegExp(`\\b(${count})${before}`, "g"), (_, n) => `${countOf(n)}`)
    .replace(new RegExp(`\\bhalf an?\\s+(?=(?:${anyUnit})${unitEnd})`, "g"), "0.5 ")
    .replace(new RegExp(`\\ban? (?=(?:d\\.?b|deci-?bel|ms|milli-?second)${unitEnd})`, "g"), "1 ");
  return text;
}

const countOf = (word: string): number => (/\d/.test(word) ? Number(word) : counts.indexOf(word));

/**
 * Clauses of a line.
 *
 * @param text  as `plain` gives it
 * @throws Ambiguous for ranges, "±", and a dash that may be a minus
 */
export function clausesOf(text: string): Clause[] {
  if (/±|\+\s*\/\s*-|\bplus (?:or )?minus\b|\bplus\/minus\b/.test(text))
    throw new Ambiguous('"±" leaves the direction open: which one is it?');
  const range = new RegExp(`(?:${number})\\s*(?:-|to|or|\\.\\.+)\\s*(?:${number})`).exec(text);
  if (range || /\bbetween\b/.test(text))
    throw new Ambiguous(`"${range?.[0] ?? "between"}" is a range: which number is it?`);
  return divided(tokensOf(text));
}

function tokensOf(text: string): Token[] {
  const pattern = new RegExp(
    `(?<sign>[+-]\\s*|\\bplus\\s+|\\bminus\\s+)?(?<number>${number})(?:\\s*-?\\s*(?<unit>${anyUnit})${unitEnd})?|(?<word>[a-zø°'-]*[a-zø°'])|(?<end>[,;.!?/|()&\\n])|[^]`,
    "g",
  );
  const tokens: Token[] = [];
  for (const { groups = {} } of text.matchAll(pattern)) {
    if (groups.number !== undefined) tokens.push({ kind: "quantity", quantity: quantityOf(groups, tokens) });
    else if (groups.word !== undefined)
      tokens.push(joining.has(groups.word) ? { kind: "break" } : { kind: "word", word: groups.word });
    else if (groups.end !== undefined) tokens.push({ kind: "break" });
  }
  return tokens;
}

const joining = new Set(["and", "then", "but", "while", "also", "plus"]);

function quantityOf(groups: Record<string, string | undefined>, before: readonly Token[]): Quantity {
  const { sign = "", unit } = groups;
  const written = /^[+]|plus/.test(sign) ? 1 : /^-|minus/.test(sign) ? -1 : 0;
  const last = before.at(-1);
  if (/^-\s/.test(sign) && last && last.kind !== "break")
    throw new Ambiguous(
      `the dash before ${groups.number} may be a minus or a pause: write it close to the number, or a word`,
    );
  const found = units.find(
    ([, , pattern]) => unit !== undefined && new RegExp(`^(?:${pattern})$`).test(unit),
  );
  const size = Number(groups.number) * (found?.[1] ?? 1);
  return { unit: found?.[0] ?? "none", size: Math.round(size * 1e6) / 1e6, sign: written };
}

/** At breaks, and between two quantities of one stretch. */
function divided(tokens: readonly Token[]): Clause[] {
  const stretches: Token[][] = [[]];
  for (const token of tokens) {
    if (token.kind === "break") stretches.push([]);
    else stretches[stretches.length - 1].push(token);
  }
  return stretches.filter((s) => s.length > 0).flatMap(apart);
}

/**
 * One clause for each quantity. What stands between two goes with the one before, unless words lead the first as well ("down 2 dB
 * later 5 ms"), or it names who moves ("2 dB down mains 5 ms later").
 */
function apart(stretch: readonly Token[]): Clause[] {
  const at = stretch.flatMap((token, i) => (token.kind === "quantity" ? [i] : []));
  if (at.length === 0) return [{ quantity: undefined, words: wordsOf(stretch), before: 0 }];
  const leads = wordsOf(stretch.slice(0, at[0])).some((word) => leading.test(word));
  return at.map((here, i) => {
    const first = i === 0 ? 0 : cut(stretch, at[i - 1], here, leads);
    const last = i === at.length - 1 ? stretch.length : cut(stretch, here, at[i + 1], leads);
    const token = stretch[here];
    const before = wordsOf(stretch.slice(first, here));
    const after = wordsOf(stretch.slice(here + 1, last));
    return {
      quantity: token.kind === "quantity" ? token.quantity : undefined,
      words: [...before, ...after],
      before: before.length,
    };
  });
}

const leading =
  /^(?:down|up|lower(?:ed)?|raised?|reduced?|cut|add(?:ed)?|louder|quieter|softer|later|earlier|delay(?:ed)?|advanced?|level|gain|dip|peak)$/;

function cut(stretch: readonly Token[], left: number, right: number, leads: boolean): number {
  if (leads) return left + 1;
  const words = stretch.slice(left + 1, right).map((t) => (t.kind === "word" ? t.word : ""));
  const named = words.findIndex(
    (word, i) => starts.test(word) && !/^(?:the|of|on|to|in|from|for|than)$/.test(words[i - 1] ?? ""),
  );
  return named < 0 ? right : left + 1 + named;
}

const starts = /^(?:mains?|pa|tops?|subs?|delay|delayed|timing|time|level|gain|polarity)$/;

const wordsOf = (tokens: readonly Token[]): string[] =>
  tokens.flatMap((token) => (token.kind === "word" ? [token.word] : []));
