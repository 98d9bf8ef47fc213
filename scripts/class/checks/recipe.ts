/** The image's recipe, read for checks: its steps, and which files of the folder go in. */
import { readdirSync } from "node:fs";
import path from "node:path";

export interface Step {
  name: string;
  what: string;
}

/** A Dockerfile's steps, with lines that go on put together. */
export function steps(recipe: string): Step[] {
  return recipe
    .replace(/^\s*#.*\n/gm, "")
    .replace(/\\\n/g, "")
    .split("\n")
    .filter((line) => line.trim())
    .map((line) => {
      const [, name, what] = /^\s*(\w+)\s+(.*)$/.exec(line) ?? [];
      if (!name || what === undefined) throw new Error(`This line of the recipe was not understood: ${line}`);
      return { name: name.toUpperCase(), what };
    });
}

/**
 * Whether a path goes in, by the rules of .dockerignore: patterns hold from the folder's root and for all below what they
 * name, and the last that fits decides.
 */
export function goesIn(ignore: string, file: string): boolean {
  let inside = true;
  for (const line of ignore.split("\n").map((one) => one.trim())) {
    if (!line || line.startsWith("#")) continue;
    const excepted = line.startsWith("!");
    const pattern = line.slice(excepted ? 1 : 0).replace(/^\/|\/$/g, "");
    if (/[?[\]\\]/.test(pattern)) throw new Error(`This pattern is not understood here: ${line}`);
    const source = pattern
      .split(/(\*\*\/|\*\*|\*)/)
      .map((part) =>
        part === "**/"
          ? "(?:.*/)?"
          : part === "**"
            ? ".*"
            : part === "*"
              ? "[^/]*"
              : part.replace(/[.+^${}()|]/g, "\\$&"),
      )
      .join("");
    if (new RegExp(`^${source}(?:/.*)?$`).test(file)) inside = excepted;
  }
  return inside;
}

/** All files of the folder that go in, by their paths within it. */
export function context(root: string, ignore: string): string[] {
  const within = (folder: string): string[] =>
    readdirSync(path.join(root, folder), { withFileTypes: true }).flatMap((entry) => {
      const file = path.posix.join(folder, entry.name);
      // A folder that stays out may hold what an exception lets in; here none does.
      if (!goesIn(ignore, file)) return [];
      return entry.isDirectory() ? within(file) : [file];
    });
  return within("");
}
