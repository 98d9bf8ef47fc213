/** What is wrong with a venue file, all at once and in words for the person who wrote it. */

/** One thing to correct. */
export interface Problem {
  /** Where in the file, such as `subs[2].position.z`; empty for the file as a whole. */
  readonly path: string;
  /** The value found and what was expected, such as "is -3, expected 0 or more". */
  readonly text: string;
}

/** Thrown by `readVenue`: the message lists every problem of the file, one a line. */
export class VenueFileError extends Error {
  readonly fileName: string;
  readonly problems: readonly Problem[];

  constructor(fileName: string, problems: readonly Problem[]) {
    super(listOfProblems(`venue "${fileName}"`, problems));
    this.name = "VenueFileError";
    this.fileName = fileName;
    this.problems = problems;
    this.stack = `${this.name}: ${this.message}`; // a reader of venue files has no use for our call stack
  }
}

const SHOWN = 20;

/** A sentence where there is one problem, else a list, of which the first twenty are told. */
export function listOfProblems(file: string, problems: readonly Problem[]): string {
  const lines = problems.slice(0, SHOWN).map(({ path, text }) => (path ? `${path} ${text}` : text));
  if (problems.length > SHOWN) lines.push(`and ${problems.length - SHOWN} more`);
  if (lines.length === 1) return `${file}: ${lines[0]}`;
  return `${file} has ${problems.length} problems:\n${lines.map((line) => `  ${line}`).join("\n")}`;
}

/** A path as one would write it in a program: `subs[2].position.z`, `cabinets["small sub"].level`. */
export function writePath(path: readonly PropertyKey[]): string {
  return path
    .map((key, i) => {
      if (typeof key === "number") return `[${key}]`;
      const word = String(key);
      if (!/^[A-Za-z_$][\w$]*$/.test(word)) return `[${JSON.stringify(shorten(word))}]`;
      return i ? `.${word}` : word;
    })
    .join("");
}

/** A value of the file in a few words. */
export function show(value: unknown): string {
  if (value === undefined) return "missing";
  if (typeof value === "string") return JSON.stringify(shorten(value));
  if (Array.isArray(value)) return `a list of ${value.length}`;
  if (value !== null && typeof value === "object") return "an object { … }";
  return String(value);
}

const shorten = (text: string) => (text.length > 40 ? `${text.slice(0, 39)}…` : text);
