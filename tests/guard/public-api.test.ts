/**
 * The whole interface, against the list that stands beside this file. A name that is added, dropped or renamed is added,
 * dropped or renamed there too, so that nobody does so without seeing the others.
 */
import { readFileSync } from "node:fs";
import path from "node:path";
import ts from "typescript";
import { beforeAll, describe, expect, it } from "vitest";
import { ensureLibrary } from "../../scripts/setup/library.mjs";

const root = path.join(__dirname, "..", "..");
const { groups, types, words } = listOf(readFileSync(path.join(__dirname, "public-api.txt"), "utf8"));
let library: object;
let declared: { readonly names: string[]; readonly types: string[]; readonly text: string };

beforeAll(async () => {
  await ensureLibrary();
  library = require(path.join(root, "dist"));
  declared = declarations(path.join(root, "dist", "index.d.ts"));
}, 120_000);

describe("the library's names", () => {
  it("are those of the list, group by group, and in the declarations the same", () => {
    const names = namesOf(library).sort();
    expect(names).toEqual(groups);
    expect(declared.names.sort()).toEqual(groups);
    expect(declared.types.sort()).toEqual(types);
  });

  it("are few, so that one can know them", () => {
    expect(groups.length).toBeLessThanOrEqual(138);
    expect(types.length).toBeLessThanOrEqual(70);
  });

  it("mean one thing: a word that stands in several groups is listed with what it means in all of them", () => {
    const last = groups.map((name) => name.split(".").pop() as string);
    const twice = last.filter((word, i) => last.indexOf(word) !== i);
    expect([...new Set(twice)].sort()).toEqual(words);
    // The roll-up numbers the second of two types of one name.
    expect(declared.text.match(/\b(interface|type) \w+_\d+\b/g)).toBeNull();
  });

  it("do not repeat their group", () => {
    for (const name of groups) {
      const parts = name.toLowerCase().split(".");
      const own = parts.pop() as string;
      for (const group of parts) expect(own.startsWith(group.replace(/s$/, "")), name).toBe(false);
    }
  });

  it("leave the word for one thing free: a group is a verb, a plural or a subject, none what a result is called", () => {
    const results =
      "venue survey position response layout figure table study model offset balance show trace";
    for (const group of Object.keys(library))
      if (group !== "show") expect(results).not.toMatch(RegExp(`\\b${group}\\b`));
  });
});

/** The list: a line a group, its names behind it, those of a subject indented; then types, then words of several groups. */
function listOf(text: string) {
  const section = (title: string) =>
    text
      .split(/^# /m)
      .find((part) => part.startsWith(title))!
      .split("\n")
      .slice(1)
      .filter((line) => line.trim() !== "");
  let group = "";
  const groups = section("Groups").flatMap((line) => {
    const [head, ...names] = line.trim().split(/\s+/);
    if (!line.startsWith(" ")) group = head;
    const before = head === "–" ? "" : line.startsWith(" ") ? `${group}.${head}.` : `${head}.`;
    return names.map((name) => before + name);
  });
  return {
    groups: groups.sort(),
    types: section("Types").join(" ").trim().split(/\s+/).sort(),
    words: section("Words")
      .map((line) => line.split(":")[0])
      .sort(),
  };
}

function namesOf(group: object, before = ""): string[] {
  return Object.entries(group).flatMap(([name, value]) => {
    const inner = typeof value === "object" && Object.values(value).some((one) => typeof one !== "number");
    return inner ? namesOf(value, `${before}${name}.`) : [before + name];
  });
}

/** What a declaration file exports: values by their whole name, and types. */
function declarations(file: string) {
  const program = ts.createProgram([file], { noLib: true, types: [] });
  const checker = program.getTypeChecker();
  const source = program.getSourceFile(file) as ts.SourceFile;
  const names: string[] = [];
  const types: string[] = [];
  const collect = (module: ts.Symbol, before: string) => {
    for (const exported of checker.getExportsOfModule(module)) {
      const symbol = exported.flags & ts.SymbolFlags.Alias ? checker.getAliasedSymbol(exported) : exported;
      if (symbol.flags & ts.SymbolFlags.ValueModule) collect(symbol, `${before}${exported.name}.`);
      else if (symbol.flags & ts.SymbolFlags.Value) names.push(before + exported.name);
      else if (!(symbol.flags & ts.SymbolFlags.NamespaceModule)) types.push(before + exported.name);
    }
  };
  collect(checker.getSymbolAtLocation(source) as ts.Symbol, "");
  return { names, types, text: source.text };
}
