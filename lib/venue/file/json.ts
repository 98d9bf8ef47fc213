/**
 * JSON text (RFC 8259) into values, with errors that a person can find: line, column and what was expected there.
 *
 * Engines word and place their own messages each in its way, and take a key that stands twice without a word.
 */

/** Thrown by `parseJson`; the message carries line and column. */
export class JsonSyntaxError extends Error {
  readonly line: number;
  readonly column: number;

  constructor(text: string, at: number, what: string) {
    const before = text.slice(0, at);
    const line = before.split("\n").length;
    const column = at - before.lastIndexOf("\n");
    super(`line ${line}, column ${column}: ${what}`);
    this.name = "JsonSyntaxError";
    this.line = line;
    this.column = column;
  }
}

const DEEPEST = 50;

/**
 * The value that a JSON text stands for.
 *
 * @param text  the text; a byte order mark at its start is passed over
 * @returns objects without a prototype's keys in the way, arrays, strings, numbers, booleans, null
 * @throws JsonSyntaxError at the first mistake, also for a key that stands twice and for more than 50 levels
 * @source RFC 8259; check: tests/venue/file/json.test.ts
 */
export function parseJson(text: string): unknown {
  let at = text.charCodeAt(0) === 0xfeff ? 1 : 0;
  const result = value(0);
  space();
  if (at < text.length) fail(`${seen()} after the end`);
  return result;

  function value(depth: number): unknown {
    space();
    if (depth > DEEPEST) fail(`more than ${DEEPEST} levels of brackets`);
    const c = text[at];
    if (c === "{") return object(depth);
    if (c === "[") return list(depth);
    if (c === '"') return string();
    for (const [word, meaning] of WORDS) {
      if (text.startsWith(word, at)) {
        at += word.length;
        return meaning;
      }
    }
    return number();
  }

  function object(depth: number): unknown {
    const opened = at++;
    const entries: [string, unknown][] = [];
    const keys = new Set<string>();
    space();
    while (text[at] !== "}") {
      if (at >= text.length) fail("this { is never closed", opened);
      if (entries.length) comma("}", opened);
      const start = at;
      if (text[at] !== '"') fail(`${seen()}, expected a key in double quotes`);
      const key = string();
      if (keys.has(key)) fail(`the key ${JSON.stringify(key)} stands here a second time`, start);
      keys.add(key);
      space();
      if (text[at] !== ":") fail(`${seen()}, expected a colon after the key ${JSON.stringify(key)}`);
      at++;
      entries.push([key, value(depth + 1)]);
      space();
    }
    at++;
    return Object.fromEntries(entries);
  }

  function list(depth: number): unknown {
    const opened = at++;
    const entries: unknown[] = [];
    space();
    while (text[at] !== "]") {
      if (at >= text.length) fail("this [ is never closed", opened);
      if (entries.length) comma("]", opened);
      entries.push(value(depth + 1));
      space();
    }
    at++;
    return entries;
  }

  function comma(close: string, opened: number): void {
    if (text[at] !== ",") fail(`${seen()}, expected a comma or ${close}`);
    const here = at++;
    space();
    if (text[at] === close) fail(`a comma before ${close}, expected none`, here);
    if (at >= text.length) fail(`this ${text[opened]} is never closed`, opened);
  }

  function string(): string {
    const start = at++;
    for (; at < text.length; at++) {
      const c = text[at];
      if (c === '"') {
        at++;
        return JSON.parse(text.slice(start, at)) as string;
      }
      if (c < " ") fail("a line break or control character within a text, expected its closing quote before");
      if (c === "\\") {
        const meaning = /["\\/bfnrt]|u[0-9a-fA-F]{4}/y;
        meaning.lastIndex = at + 1;
        const found = meaning.exec(text);
        if (!found) fail('a backslash that means nothing, expected \\\\ for a backslash or \\" for a quote');
        else at += found[0].length;
      }
    }
    return fail("this text is never closed, expected a double quote", start);
  }

  function number(): number {
    const form = /-?(0|[1-9]\d*)(\.\d+)?([eE][+-]?\d+)?/y;
    form.lastIndex = at;
    const found = form.exec(text);
    if (!found) return fail(`${seen()}, expected a value`);
    const next = text[at + found[0].length];
    if (next !== undefined && /[\w.+-]/.test(next)) {
      return fail(`${seen()}, expected a number such as 12 or -0.5`);
    }
    at += found[0].length;
    return Number(found[0]);
  }

  function space(): void {
    while (at < text.length && " \t\n\r".includes(text[at])) at++;
  }

  function seen(): string {
    if (at >= text.length) return "the text ends here";
    const word = /[\w.+-]{1,30}/y;
    word.lastIndex = at;
    return `found ${JSON.stringify(word.exec(text)?.[0] ?? String.fromCodePoint(text.codePointAt(at) ?? 0))}`;
  }

  function fail(what: string, where = at): never {
    throw new JsonSyntaxError(text, where, what);
  }
}

const WORDS: readonly (readonly [string, boolean | null])[] = [
  ["true", true],
  ["false", false],
  ["null", null],
];
