import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import path from "node:path";
import { describe, expect, it } from "vitest";

const dist = path.join(__dirname, "..", "..", "dist");
const requireHere = createRequire(__filename);
/** The kernel's own compiler, which is older than ours. */
const ts: typeof import("typescript") = requireHere("@tslab/typescript-for-tslab");
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

  it("show each value that the library shows, and no other", () => {
    const checker = program.getTypeChecker();
    const module = source && checker.getSymbolAtLocation(source);
    const declared = module ? checker.getExportsOfModule(module) : [];
    const values = declared.filter((symbol) => {
      const aim = symbol.flags & ts.SymbolFlags.Alias ? checker.getAliasedSymbol(symbol) : symbol;
      return aim.flags & ts.SymbolFlags.Value;
    });
    const built = Object.keys(requireHere(path.join(dist, "index.js")));
    expect(values.map((symbol) => symbol.name).sort()).toEqual(built.sort());
    expect(values.length).toBeGreaterThan(100);
  });

  it("carry the words that say what a function does", () => {
    expect(readFileSync(declarations, "utf8")).toMatch(
      /\/\*\*\s+\* Mean square of a response[\s\S]*?\*\/\s+declare function power\(/,
    );
  });
});
