// @ts-check
/** A failed cell shows what went wrong and where in the cell, not the insides of the kernel and of the library. */
const vm = require("node:vm");
const { ifRenewed } = require("./renewed.cjs");

function speakPlainly() {
  Error.prepareStackTrace = (error, frames) => {
    const inCells = frames.filter(
      (frame) => frame.getFileName()?.startsWith("evalmachine") && frame.getFunctionName(),
    );
    const where = inCells.map((frame) => `  in ${frame.getFunctionName()}`);
    return [String(error), ...where, ...remedy(error)].join("\n");
  };
  const print = console.error;
  console.error = (...what) => {
    if (what[0] === COMPLAINT) print(complaint(what));
    else print(...what.map((item) => (item instanceof Error ? item.stack : item)));
  };
  // Else Node.js puts the failing line of compiled code before the message.
  const run = vm.runInThisContext;
  vm.runInThisContext = (code, options) =>
    run(code, {
      .../** @type {vm.RunningCodeOptions} */ (options),
      displayErrors: false,
    });
}

/** How the kernel prints what the compiler finds: file, line, character, text. */
const COMPLAINT = "%s%d:%d - %s";

function complaint(/** @type {any[]} */ [, file, line, , text]) {
  const [, missing] = /(?:Cannot find name|shorthand property) '([^']+)'/.exec(text) ?? [];
  const what = `${file}line ${line}: ${text}`;
  const remedy = ifRenewed() ?? (missing && notYet(missing));
  return remedy ? `${what}\n${remedy}` : what;
}

const notYet = (/** @type {string} */ name) =>
  `Nothing here is called ${name} yet: run the cell above that makes it, then this one again.`;

/** What to do about the errors that a beginner meets first; the library's own messages say it themselves. */
function remedy(/** @type {Error} */ error) {
  const renewed = ifRenewed();
  if (renewed) return [renewed];
  const [, missing] = /^(.+) is not defined$/.exec(error.message) ?? [];
  if (error.name === "ReferenceError" && missing) {
    return [notYet(missing)];
  }
  if (error.name === "TypeError" && /undefined|not a function|not iterable/.test(error.message)) {
    return [
      "Something is not what this cell expects: run the cells above in their order, then this one again.",
    ];
  }
  return [];
}

module.exports = { speakPlainly };
