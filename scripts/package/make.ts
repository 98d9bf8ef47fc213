/**
 * The library as an npm package. Its ES modules stay as many as its source files, so that a bundler leaves out what is not
 * used; for `require` it is one file. The declarations are the ones that the kernel reads.
 */
import { cpSync, mkdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import path from "node:path";
import { build, transform } from "esbuild";
import ts from "typescript";
import { declarationsOf, programOf } from "../build/declarations.mjs";
import { ensureLibrary } from "../setup/library.mjs";
import { runNpm } from "../setup/npm-command.mjs";
import { inRoot } from "../setup/places.mjs";
import { lastWords } from "../setup/run.mjs";
import { SetupError } from "../setup/setup-error.mjs";
import { manifest } from "./manifest";
import { absentModule, type NamesOfModules } from "./without-node";

const folder = inRoot("dist", "package");
const lib = inRoot("lib");

/** @returns the path of the tarball */
export async function makePackage(): Promise<string> {
  await ensureLibrary();
  rmSync(folder, { recursive: true, force: true });
  const entry = path.join(lib, "index.ts");
  const program = programOf(entry);
  const sources = program
    .getSourceFiles()
    .map(({ fileName }) => path.resolve(fileName))
    .filter((file) => file.startsWith(lib + path.sep) && !file.endsWith(".d.ts"));
  const thread = path.join(lib, "study", "study-thread.ts");
  const used: NamesOfModules = new Map();
  for (const file of new Set([...sources, thread])) await writeModule(file, used);
  for (const [name, names] of used) put(`dist/without-node/${name}.js`, absentModule(name, names));
  await writeCommonJs(entry, thread);
  const declarations = declarationsOf(entry, program);
  put("dist/index.d.ts", declarations);
  put("dist/index.d.cts", declarations);
  cpSync(inRoot("dist", "assets"), path.join(folder, "dist", "assets"), { recursive: true });
  cpSync(inRoot("data", "venues"), path.join(folder, "data", "venues"), { recursive: true });
  for (const file of ["LICENSE", "scripts/package/README.md"]) {
    cpSync(inRoot(file), path.join(folder, path.basename(file)));
  }
  put("package.json", `${JSON.stringify(manifest(used.keys()), null, 2)}\n`);
  return packed();
}

/** One source file as an ES module, at its own place. */
async function writeModule(file: string, used: NamesOfModules): Promise<void> {
  const { code } = await transform(readFileSync(file, "utf8"), {
    loader: "ts",
    format: "esm",
    target: "es2022",
    sourcefile: file,
    define: { __dirname: "import.meta.dirname" },
  });
  const target = path.join("dist", "esm", path.relative(lib, file)).replace(/\.ts$/, ".js");
  put(target, importsAsPublished(code, file, used));
}

/** Names of other modules as a package must write them: our own with their ending, Node's by way of the manifest. */
function importsAsPublished(code: string, file: string, used: NamesOfModules): string {
  let text = code;
  for (const { fileName: name, pos, end } of ts.preProcessFile(code).importedFiles.reverse()) {
    let published = `"${name}"`;
    if (name.startsWith(".")) published = `"${ourModule(path.resolve(path.dirname(file), name), file)}"`;
    else if (name.startsWith("node:")) {
      published = `"#node/${name.slice(5)}"`;
      const known = used.get(name.slice(5)) ?? used.set(name.slice(5), new Set()).get(name.slice(5))!;
      for (const each of namesFrom(code, name)) known.add(each);
    }
    // Not written in full, so that no bundler asks for what only the course brings.
    else if (code.slice(0, pos).endsWith("import(")) published = `/* @vite-ignore */ ["${name}"][0]`;
    text = `${text.slice(0, pos)}${published}${text.slice(end + 2)}`;
  }
  return text;
}

/** The module at a path without its ending, seen from a file. */
function ourModule(without: string, from: string): string {
  const [found] = [`${without}.ts`, path.join(without, "index.ts")].filter((file) => ts.sys.fileExists(file));
  if (!found) throw new SetupError(`${from} imports ${without}, which is not there`);
  const relative = path.relative(path.dirname(from), found).replaceAll(path.sep, "/").replace(/\.ts$/, ".js");
  return relative.startsWith(".") ? relative : `./${relative}`;
}

/** What a module takes from another: its names, and "default". */
function namesFrom(code: string, module: string): string[] {
  const source = ts.createSourceFile("module.js", code, ts.ScriptTarget.ES2022);
  return source.statements
    .filter(ts.isImportDeclaration)
    .filter(({ moduleSpecifier }) => (moduleSpecifier as ts.StringLiteral).text === module)
    .flatMap(({ importClause }) => {
      const named = importClause?.namedBindings;
      return [
        ...(importClause?.name ? ["default"] : []),
        ...(named && ts.isNamedImports(named)
          ? named.elements.map((one) => (one.propertyName ?? one.name).text)
          : []),
      ];
    });
}

/** For `require`: one file, and one for the threads of the model. */
async function writeCommonJs(entry: string, thread: string): Promise<void> {
  await build({
    entryPoints: { index: entry, "study-thread": thread },
    outdir: path.join(folder, "dist"),
    outExtension: { ".js": ".cjs" },
    bundle: true,
    packages: "external",
    platform: "node",
    format: "cjs",
    target: "node20",
    logLevel: "error",
  });
}

function put(name: string, text: string): void {
  const file = path.join(folder, name);
  mkdirSync(path.dirname(file), { recursive: true });
  writeFileSync(file, text);
}

async function packed(): Promise<string> {
  const { code, output } = await runNpm(["pack", "--pack-destination", inRoot("dist")], folder);
  if (code !== 0) throw new SetupError(`npm could not pack the library:\n  ${lastWords(output)}`);
  return inRoot("dist", output.trim().split("\n").at(-1)!);
}
