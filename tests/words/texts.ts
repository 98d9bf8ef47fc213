/** Everything that a reader of the course meets, as plain texts with the place they stand at. */
import { readdirSync, readFileSync } from "node:fs";
import path from "node:path";
import ts from "typescript";

export interface Text {
  /** File and line. */
  readonly at: string;
  readonly text: string;
}

const root = path.join(__dirname, "..", "..");

export function userTexts(): Text[] {
  return [...markdown(), ...notebooks(), ...literals()];
}

const filesBelow = (folder: string, ending: string) =>
  readdirSync(path.join(root, folder), { recursive: true, encoding: "utf8" })
    .filter((name) => name.endsWith(ending) && !/node_modules|[\\/]\./.test(name))
    .map((name) => path.join(folder, name));

function markdown(): Text[] {
  const files = ["README.md", "data/README.md", "data/venues/README.md", ...filesBelow("notebooks", ".md")];
  return files.flatMap((file) => linesOf(file, readFileSync(path.join(root, file), "utf8")));
}

const linesOf = (file: string, text: string): Text[] =>
  text.split("\n").map((line, i) => ({ at: `${file}:${i + 1}`, text: line }));

interface Cell {
  readonly cell_type: string;
  readonly source: readonly string[];
}

/** Markdown cells whole, of code cells what stands in quotes or behind //. */
function notebooks(): Text[] {
  return filesBelow("notebooks", ".ipynb")
    .filter((file) => !file.includes("checkpoint"))
    .flatMap((file) => {
      const { cells } = JSON.parse(readFileSync(path.join(root, file), "utf8")) as { cells: Cell[] };
      return cells.flatMap(({ cell_type, source }, i) => {
        const at = `${file}, cell ${i}`;
        const text = source.join("");
        if (cell_type !== "code") return text.split("\n").map((line) => ({ at, text: line }));
        const comments = text.split("\n").flatMap((line) => /\/\/ (.*)/.exec(line)?.[1] ?? []);
        return [
          ...stringsOf(at, text).map((one) => ({ ...one, at })),
          ...comments.map((one) => ({ at, text: one })),
        ];
      });
    });
}

/** What the library and its commands say: string literals of more than one word. */
function literals(): Text[] {
  return [...filesBelow("lib", ".ts"), ...filesBelow("scripts", ".ts"), ...filesBelow("scripts", ".mjs")]
    .filter((file) => !/generated|assembly/.test(file))
    .flatMap((file) => stringsOf(file, readFileSync(path.join(root, file), "utf8")));
}

function stringsOf(file: string, code: string): Text[] {
  const source = ts.createSourceFile(file, code, ts.ScriptTarget.ES2022, true);
  const found: Text[] = [];
  const visit = (node: ts.Node): void => {
    if (ts.isImportDeclaration(node) || ts.isExportDeclaration(node)) return;
    if (ts.isStringLiteralLike(node) || ts.isTemplateHead(node) || ts.isTemplateMiddleOrTemplateTail(node)) {
      const { line } = source.getLineAndCharacterOfPosition(node.getStart());
      if (/\S\s+\S/.test(node.text)) found.push({ at: `${file}:${line + 1}`, text: node.text });
    }
    ts.forEachChild(node, visit);
  };
  visit(source);
  return found;
}
