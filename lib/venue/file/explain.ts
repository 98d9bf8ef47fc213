/** What the schema found wrong, in words: where, what stands there, what was expected, which key was probably meant. */
import * as z from "zod";
import { nearestWord } from "../../text/suggest";
import type { Problem } from "./problems";
import { show, writePath } from "./problems";

type Issue = z.core.$ZodIssue;
type RawIssue = z.core.$ZodRawIssue;

/** Give this to `safeParse` as `error`: it words each issue while the schema that raised it is still at hand. */
export function wordIssue(issue: RawIssue): string {
  const found = show(issue.input);
  const missing = issue.input === undefined;
  const description = descriptionOf(issue);
  const is = missing ? "is missing" : `is ${found}`;
  switch (issue.code) {
    case "invalid_type":
      return `${is}, expected ${KINDS[issue.expected] ?? issue.expected}${because(description)}`;
    case "too_small":
    case "too_big":
      return outside(issue, is, description);
    case "invalid_value":
      return `${is}, expected ${issue.values.map((value) => JSON.stringify(value)).join(" or ")}${meant(issue.input, issue.values)}`;
    case "unrecognized_keys":
      return someOf(issue.keys)
        .map((key) => unknownKey(key, keysOf(issue.inst)))
        .join("\n");
    case "invalid_union":
      if ("discriminator" in issue) return wrongKind(issue);
      return `${is}, expected ${description ?? "another kind of value"}`;
    case "invalid_format":
      return `${is}, expected a text on one line without spaces around${because(description)}`;
    case "invalid_key":
      return `is not a frequency, expected a key such as "125" or "31.5"`;
    default:
      return `${is}, expected ${description ?? "another value"}`;
  }
}

/** The schema's issues as problems: unions narrowed to the branch that was meant, one problem per unknown key. */
export function explain(issues: readonly Issue[], at: readonly PropertyKey[] = []): Problem[] {
  const problems = issues.flatMap((issue) => {
    const path = [...at, ...issue.path];
    if (issue.code === "unrecognized_keys") {
      const lines = issue.message.split("\n");
      const told = someOf(issue.keys).map((key, i) => ({ path: writePath([...path, key]), text: lines[i] }));
      const more = issue.keys.length - told.length;
      return more
        ? [...told, { path: writePath(path), text: `has ${more} more keys that are not known` }]
        : told;
    }
    if (issue.code === "invalid_union") {
      const branch = likeliest(issue.errors);
      if (branch) return explain(branch, path);
    }
    return [{ path: writePath(path), text: issue.message }];
  });
  const meant = new Set(problems.map(keyMeant));
  return problems.filter(({ path, text }) => !(text.startsWith("is missing") && meant.has(path)));
}

/** Of a thousand unknown keys nobody wants to read of each, nor wait until each has been compared with all that are known. */
const someOf = (keys: readonly string[]) => keys.slice(0, 10);

/**
 * The key that a mistyped one was probably meant for, by its path: where it is missing, it needs no word of its own.
 */
function keyMeant(typo: Problem): string | undefined {
  const meantKey = /did you mean "(.+)"\?$/.exec(typo.text)?.[1];
  if (meantKey === undefined) return undefined;
  const parent = typo.path.replace(/(\.?[\w$]+|\["(?:[^"\\]|\\.)*"\])$/, "");
  return parent ? `${parent}.${meantKey}` : meantKey;
}

/** The branch of a union that fits best: of the right kind at all, then with the fewest complaints. */
function likeliest(branches: readonly (readonly Issue[])[]): readonly Issue[] | undefined {
  const near = branches.filter((issues) => !issues.some(isOtherKind));
  return [...near].sort((a, b) => weight(a) - weight(b))[0];
}

const isOtherKind = (issue: Issue) =>
  issue.path.length === 0 && (issue.code === "invalid_type" || issue.code === "invalid_value");

const weight = (issues: readonly Issue[]) =>
  issues.reduce((sum, issue) => sum + (issue.code === "unrecognized_keys" ? issue.keys.length : 1), 0);

function outside(
  issue: RawIssue & { code: "too_small" | "too_big" },
  is: string,
  description?: string,
): string {
  const limit = Number(issue.code === "too_small" ? issue.minimum : issue.maximum);
  const side = issue.code === "too_small" ? "or more" : "or less";
  if (issue.origin === "string") return `has the wrong length, expected ${limit} letters ${side}`;
  if (issue.origin === "array") {
    return `${is}, expected ${limit} entries${issue.inst instanceof z.ZodTuple ? "" : ` ${side}`}`;
  }
  return `${is}, expected ${limit} ${side}${because(description)}`;
}

function unknownKey(key: string, known: readonly string[]): string {
  const near = suggest(key, known);
  if (near) return `is not a known key${near}`;
  return `is not a known key, expected ${known.length > 12 ? "one of the schema's" : known.join(", ")}`;
}

function wrongKind(issue: RawIssue): string {
  const { discriminator, options, input } = issue as unknown as {
    discriminator: string;
    options: readonly unknown[];
    input: unknown;
  };
  const found = input !== null && typeof input === "object" ? Reflect.get(input, discriminator) : undefined;
  const is = found === undefined ? "is missing" : `is ${show(found)}`;
  return `${is}, expected ${options.map((option) => JSON.stringify(option)).join(" or ")}${meant(found, options)}`;
}

function meant(found: unknown, options: readonly unknown[]): string {
  return typeof found === "string" ? suggest(found, options.map(String)) : "";
}

/** ", did you mean …?" where a candidate is near. */
export function suggest(word: string, candidates: readonly string[]): string {
  const near = nearestWord(word, candidates);
  return near === undefined ? "" : `, did you mean ${JSON.stringify(near)}?`;
}

function keysOf(schema: unknown): string[] {
  return schema instanceof z.ZodObject ? Object.keys(schema.shape) : [];
}

function descriptionOf(issue: RawIssue): string | undefined {
  const schema = (issue as { schema?: unknown }).schema ?? issue.inst;
  return schema instanceof z.ZodType ? schema.description : undefined;
}

const because = (description?: string) => (description ? ` (${description})` : "");

const KINDS: Readonly<Record<string, string>> = {
  number: "a number",
  int: "a whole number",
  string: "a text in quotes",
  boolean: "true or false",
  array: "a list [ … ]",
  tuple: "a list [ … ]",
  object: "an object { … }",
  record: "an object { … }",
};
