// @ts-check
/**
 * The library's declarations as one file. A kernel reads them before its first cell, so they are few: only what the face
 * shows and what that mentions, and types inferred from a schema are written out, for the schema library's own
 * declarations take longer to read than all of ours.
 */
import path from "node:path";
import ts from "typescript";
import { inRoot } from "../setup/places.mjs";
import { rollUp } from "./roll-up.mjs";

/** Where the compiler would put the declarations; nothing is written there. */
const folder = inRoot("dist", "declarations");

/** @param {string} entry  the library's face */
export function programOf(entry) {
  const config = ts.readConfigFile(inRoot("tsconfig.json"), ts.sys.readFile).config;
  const { options } = ts.convertCompilerOptionsFromJson(config.compilerOptions, inRoot());
  return ts.createProgram([entry], {
    ...options,
    declaration: true,
    emitDeclarationOnly: true,
    noEmit: false,
    // `npm run types` checks; here it would take half of the build
    noCheck: true,
    rootDir: path.dirname(entry),
    outDir: folder,
  });
}

/**
 * @param {string} entry  the library's face
 * @param {ts.Program} [program]  of that face
 * @returns {string} the text of its declaration file
 */
export function declarationsOf(entry, program = programOf(entry)) {
  const sourceOf = (/** @type {string} */ file) =>
    program.getSourceFile(
      path.join(path.dirname(entry), path.relative(folder, file)).replace(/\.d\.ts$/, ".ts"),
    );
  /** @type {Map<string, string>} */
  const files = new Map();
  program.emit(undefined, (file, text) => files.set(path.resolve(file), withoutHeader(text, sourceOf(file))));
  return rollUp(path.join(folder, "index.d.ts"), files, (file, name) =>
    writtenOut(program.getTypeChecker(), sourceOf(file), name),
  );
}

/**
 * A file's opening words would otherwise stand over its first type, for the imports between them are gone.
 *
 * @param {string} text  a declaration file
 * @param {ts.SourceFile} [source]  from which it was made
 */
const withoutHeader = (text, source) => {
  const [header] = /^\/\*\*[\s\S]*?\*\//.exec(source?.text ?? "") ?? [""];
  const imports = source?.statements[0] && ts.isImportDeclaration(source.statements[0]);
  return imports && text.startsWith(header) ? text.slice(header.length) : text;
};

/**
 * A type alias with everything that its right side computes done.
 *
 * @param {ts.TypeChecker} checker
 * @param {ts.SourceFile | undefined} source
 * @param {string} name
 * @returns {string}
 */
function writtenOut(checker, source, name) {
  const alias = source?.statements.find((one) => ts.isTypeAliasDeclaration(one) && one.name.text === name);
  if (!alias || !ts.isTypeAliasDeclaration(alias))
    throw new Error(`${name}: only type aliases may rest on a schema`);
  const flags =
    ts.TypeFormatFlags.NoTruncation |
    ts.TypeFormatFlags.InTypeAlias |
    ts.TypeFormatFlags.MultilineObjectLiterals;
  return `type ${name} = ${checker.typeToString(checker.getTypeAtLocation(alias.name), alias, flags)};`;
}
