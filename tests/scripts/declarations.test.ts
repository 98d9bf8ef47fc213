import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import path from "node:path";
import type * as TypeScript from "typescript";
import { describe, expect, it } from "vitest";

const dist = path.join(__dirname, "..", "..", "dist");
const requireHere = createRequire(__filename);
/** The kernel's own compiler, which is older than ours. */
const ts: typeof TypeScript = requireHere("@tslab/typescript-for-tslab");
const declarations = path.join(dist, "index.d.ts");

describe("the declarations that the kernel reads", () => {
  const program = ts.createProgram([declarations], {
    lib: ["lib.es2022.d.ts"],
    types: [],
    strict: true,
    noEmit: true,
  });
  const source = program.getSourceFile(declarations);

  it("are understood by the kernel's compiler, without a word about DOM, Node or another package", () => {
    const faults = ts
      .getPreEmitDiagnostics(program)
      .map((one) => ts.flattenDiagnosticMessageText(one.messageText, " "));
    expect(faults).toEqual([]);
    expect(readFileSync(declarations, "utf8")).not.toMatch(/\bimport\b.*["']|import\(|<reference/);
  });

  const checker = program.getTypeChecker();
  const module = (source && checker.getSymbolAtLocation(source)) as TypeScript.Symbol;

  /** Values by their names with the groups before them: `decide.offset`. */
  function valuesIn(symbol: TypeScript.Symbol, before = ""): Map<string, TypeScript.Symbol> {
    const found = new Map<string, TypeScript.Symbol>();
    for (const exported of checker.getExportsOfModule(symbol)) {
      const aim = exported.flags & ts.SymbolFlags.Alias ? checker.getAliasedSymbol(exported) : exported;
      const name = before + exported.name;
      if (aim.flags & ts.SymbolFlags.ValueModule)
        for (const each of valuesIn(aim, `${name}.`)) found.set(...each);
      else if (aim.flags & ts.SymbolFlags.Value) found.set(name, aim);
    }
    return found;
  }

  const namesIn = (built: object, before = ""): string[] =>
    Object.entries(built).flatMap(([name, value]) =>
      // The air of a standard is a value, and plain as a group is.
      typeof value === "object" && !("temperature" in value)
        ? namesIn(value, `${before}${name}.`)
        : [before + name],
    );

  it("show each value that the library shows, and no other", () => {
    const built = namesIn(requireHere(path.join(dist, "index.js")));
    expect([...valuesIn(module).keys()].sort()).toEqual(built.sort());
    expect(built.length).toBeGreaterThan(100);
  });

  it("carry the words that say what each of them is", () => {
    const silent = [...valuesIn(module)].filter(
      ([, symbol]) => !ts.displayPartsToString(symbol.getDocumentationComment(checker)).trim(),
    );
    expect(silent.map(([name]) => name)).toEqual([]);
  });
});
