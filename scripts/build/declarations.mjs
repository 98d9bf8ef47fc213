// @ts-check
import path from "node:path";
import ts from "typescript";
import { inRoot } from "../setup/places.mjs";

/**
 * Writes the declarations of an entry file and all it imports of ours.
 *
 * @param {string} entry  the library's face
 * @param {string} folder  where they go
 */
export function writeDeclarations(entry, folder) {
  const config = ts.readConfigFile(inRoot("tsconfig.json"), ts.sys.readFile).config;
  const { options } = ts.convertCompilerOptionsFromJson(config.compilerOptions, inRoot());
  const program = ts.createProgram([entry], {
    ...options,
    declaration: true,
    emitDeclarationOnly: true,
    noEmit: false,
    rootDir: path.dirname(entry),
    outDir: folder,
  });
  program.emit();
}
