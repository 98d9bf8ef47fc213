// @ts-check
/**
 * One type checker a cell. The kernel looks at each cell twice, first for the names that it declares; for either look the
 * compiler's usual builder makes a checker, which goes over all declarations. Here one is made when types are asked for.
 */
const { withKept } = require("./kept-declarations.cjs");

/** @type {any} */
let last;

/**
 * @param {any} ts  the compiler that the kernel uses
 * @returns {(...of: any[]) => any} what makes the kernel's programs
 */
function oneChecker(ts) {
  return (files, options, host, before, problems, references) => {
    const program = ts.createProgram(
      files,
      options,
      withKept(host),
      before?.getProgram(),
      problems,
      references,
    );
    last = program;
    // The names that a cell declares are found by binding it, for which no types are needed.
    const written = program.getSourceFiles().filter((/** @type {any} */ file) => !file.isDeclarationFile);
    for (const file of written) ts.bindSourceFile(file, options);
    return {
      getProgram: () => program,
      // Asked for where a watch is set on what an import has found, which would need a checker; nothing is watched here.
      getProgramOrUndefined: () => undefined,
      getSourceFile: program.getSourceFile,
      getCompilerOptions: program.getCompilerOptions,
      emit: program.emit,
      getAllDependencies: (/** @type {any} */ file) =>
        written.length === 1
          ? [file.fileName]
          : ts.createSemanticDiagnosticsBuilderProgram(program, host).getAllDependencies(file),
    };
  };
}

/** @returns {any} the last program made, which is then forgotten */
function lastProgram() {
  const program = last;
  last = undefined;
  return program;
}

module.exports = { oneChecker, lastProgram };
