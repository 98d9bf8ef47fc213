/** What the docstrings of the public functions lack, by the rule in DEVELOPERS.md. */
import type { Entry, Reference } from "./declarations";

/** @returns a line for each lack, which names the function: "decide.offset: no @source" */
export function missingTags(reference: Reference): string[] {
  const entries = reference.groups.flatMap((group) => group.entries);
  const known = knownNames(reference);
  return entries.flatMap((entry) =>
    [...lacksOf(entry), ...strangers(entry, known)].map((lack) => `${entry.name}: ${lack}`),
  );
}

function lacksOf(entry: Entry): string[] {
  const lacks: string[] = [];
  const need = (there: unknown, lack: string) => {
    if (!there) lacks.push(lack);
  };
  need(entry.summary, "no summary");
  if (entry.kind === "value") return lacks;
  for (const { name, text, fields } of entry.parameters) {
    need(text, `no @param ${name}`);
    for (const field of fields) need(field.text, `no words on ${name}.${field.name}`);
  }
  need(entry.returns, "no @returns");
  need(entry.source, "no @source");
  need(entry.examples.some(Boolean), "no @example");
  return lacks;
}

/**
 * Names that a docstring mentions and a reader cannot look up: a name between backticks, one word made of several
 * (`findDips`) or a file of the library, where nothing public is called so.
 */
function strangers(entry: Entry, known: ReadonlySet<string>): string[] {
  const own = new Set(
    [...entry.parameters, entry].flatMap(({ name, fields }) => [name, ...fields.map((one) => one.name)]),
  );
  const near = entry.name.slice(0, entry.name.lastIndexOf(".") + 1);
  const words = [
    entry.summary,
    ...entry.parameters.flatMap(({ text, fields }) => [text, ...fields.map((field) => field.text)]),
    entry.returns ?? "",
    ...entry.throws,
    entry.source ?? "",
  ].join("\n");
  const isKnown = (name: string) =>
    known.has(name) ||
    known.has(near + name) ||
    name.split(".").every((part) => known.has(part) || own.has(part));
  const prose = words.replaceAll(/\b(?:tests|data)\/[\w./-]+|`[^`]*`|"[^"\n]*"/g, " ");
  const quoted = [...words.matchAll(/`(?!\w+\.(?:json|csv|wav)`)([a-z][\w.]*)(?:\([^`]*\)[^`]*)?`/gi)].map(
    ([, name]) => name,
  );
  const files = prose.match(/[\w-]+\.ts\b/g) ?? [];
  const compound = prose.match(/(?<![\w.])[a-z]{3,}[A-Z]\w*\b(?!\.ts)/g) ?? [];
  const unknown = [...quoted, ...compound].filter((name) => !isKnown(name));
  return [...new Set([...unknown, ...files])].map((name) => `"${name}" is not public`);
}

/** Functions and groups with their groups before them, types, and fields of types. */
function knownNames({ groups, types }: Reference): Set<string> {
  const known = new Set(["null", "undefined", "true", "false", "NaN", "Infinity"]);
  for (const { name, entries } of groups)
    for (const entry of entries) {
      known.add(name).add(entry.name);
      known.add(entry.name.slice(0, entry.name.lastIndexOf(".")));
    }
  for (const { name, fields } of types) {
    known.add(name);
    for (const field of fields) known.add(field.name).add(`${name}.${field.name}`);
  }
  return known;
}
