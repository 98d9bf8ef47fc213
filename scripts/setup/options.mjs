// @ts-check
/** The command line of every command, read and explained in one way. */
import { existsSync, statSync } from "node:fs";
import { parseArgs } from "node:util";
import { fromUser } from "./places.mjs";
import { SetupError } from "./setup-error.mjs";

/**
 * @typedef {{ says: string, value?: string, whole?: readonly [least: number, most: number], usual?: any, needed?: boolean,
 *   one?: readonly string[], place?: "any" | "file" }} Option  `value` names what follows it, none for a switch; `one`: of these words;
 *   `place`: a path from where the user stands
 * @typedef {{ name: string, says: string, needed?: boolean }} Word  what stands there without dashes
 * @typedef {{ call: string, words?: readonly Word[], options?: { readonly [name: string]: Option }, more?: string }} Command
 *
 * @param {readonly string[]} args  what stands after the command
 * @param {Command} command
 * @returns {{ values: { [name: string]: any }, words: string[] } | undefined} values by the options' names without dashes
 *   (`--as-it-ran` is `asItRan`); nothing where only help was wanted
 * @throws {SetupError} with the help, where the call makes no sense: a word too many is a mistake, not ignored
 */
export function readOptions(args, { call, words = [], options = {}, more = "" }) {
  const help = helpOf({ call, words, options, more });
  const fail = (/** @type {string} */ sentence) => {
    throw new SetupError(`${sentence}\n\n${help}`);
  };
  const known = { ...options, help: { says: "" } };
  const read = parsed(args, known, fail);
  if (read.values.help) {
    console.log(help);
    return undefined;
  }
  const given = read.positionals;
  if (given.length > words.length) fail(`${JSON.stringify(given[words.length])} is one word too many.`);
  const missing = words.slice(given.length).find(({ needed }) => needed);
  if (missing) fail(`${missing.name} is missing: ${missing.says.split("\n")[0]}.`);
  const values = Object.fromEntries(
    Object.entries(options).map(([name, option]) => [
      name.replace(/-./g, ([, letter]) => letter.toUpperCase()),
      valueFor(read.values[name], `--${name}`, option, fail),
    ]),
  );
  return { values, words: given };
}

/**
 * @param {readonly string[]} args
 * @param {{ readonly [name: string]: Option }} known
 * @param {(sentence: string) => never} fail
 * @returns {{ values: { [name: string]: any }, positionals: string[] }}
 */
function parsed(args, known, fail) {
  const types = Object.entries(known).map(([name, { value }]) => [
    name,
    { type: value ? "string" : "boolean", ...(name === "help" && { short: "h" }) },
  ]);
  try {
    return parseArgs({ args: [...args], allowPositionals: true, options: Object.fromEntries(types) });
  } catch (error) {
    const [, name = ""] = /'(?:-h, )?--?([^' =]*)/.exec(/** @type {Error} */ (error).message) ?? [];
    const option = Object.hasOwn(known, name) ? known[name] : undefined;
    if (option)
      return fail(`--${name} ${option.value ? `needs a value: ${option.value}` : "takes no value"}.`);
    const near = nearest(name, Object.keys(known));
    return fail(`There is no option --${name}.${near ? ` Did you mean --${near}?` : ""}`);
  }
}

/**
 * @param {any} text
 * @param {string} name
 * @param {Option} option
 * @param {(sentence: string) => never} fail
 */
function valueFor(text, name, { value, whole, usual, needed, one, place, says }, fail) {
  if (!value) return text === true;
  if (text === undefined) return needed ? fail(`${name} is missing: ${says.split("\n")[0]}.`) : usual;
  if (whole) {
    const number = Number(text);
    if (text.trim() && Number.isInteger(number) && number >= whole[0] && number <= whole[1]) return number;
    return fail(
      `${name} is ${JSON.stringify(text)}, expected a whole number from ${whole[0]} to ${whole[1]}.`,
    );
  }
  if (one && !one.includes(text)) {
    const near = nearest(text, [...one]);
    fail(
      `${name} is ${JSON.stringify(text)}, expected one of ${one.join(", ")}.${near ? ` Did you mean ${near}?` : ""}`,
    );
  }
  if (!place) return text;
  const full = fromUser(text);
  if (place === "file" && !existsSync(full))
    fail(`${name} names ${full}, which is not there: check its path.`);
  if (place === "file" && !statSync(full).isFile()) fail(`${name} names ${full}, which is not a file.`);
  return full;
}

/** @param {Required<Command>} command */
function helpOf({ call, words, options, more }) {
  const entries = Object.entries(options).map(([name, option]) => ({
    ...option,
    name: `--${name}${option.value ? ` ${option.value}` : ""}`,
  }));
  const bracketed = (/** @type {Word[]} */ all) =>
    all.map(({ name, needed }) => (needed ? name : `[${name}]`)).join(" ");
  const many = entries.length > 4 ? `${bracketed(entries.filter(({ needed }) => needed))} [options]` : "";
  const wide = Math.max(...[...words, ...entries].map(({ name }) => name.length));
  const lines = [...words, ...entries].map(
    ({ name, says }) => `  ${name.padEnd(wide)}  ${says.replaceAll("\n", `\n${" ".repeat(wide + 4)}`)}`,
  );
  const usage = [call, "--", bracketed([...words]), many.trim() || bracketed(entries)]
    .filter(Boolean)
    .join(" ");
  return [usage, lines.join("\n"), more].filter(Boolean).join("\n\n");
}

/**
 * The word that was probably meant. (The library has the like, but nothing of it is built yet when options are read.)
 *
 * @param {string} word
 * @param {readonly string[]} candidates
 */
export function nearest(word, candidates) {
  const [best] = candidates
    .map((candidate) => ({ candidate, steps: distance(word, candidate) }))
    .sort((a, b) => a.steps - b.steps);
  return best && best.steps <= Math.max(1, word.length / 2) ? best.candidate : undefined;
}

/**
 * Single-letter edits from one word to another (Levenshtein).
 *
 * @param {string} a
 * @param {string} b
 */
function distance(a, b) {
  let last = Array.from({ length: b.length + 1 }, (_, j) => j);
  for (let i = 1; i <= a.length; i++) {
    const row = [i];
    for (let j = 1; j <= b.length; j++)
      row[j] = Math.min(last[j] + 1, row[j - 1] + 1, last[j - 1] + Number(a[i - 1] !== b[j - 1]));
    last = row;
  }
  return last[b.length];
}
