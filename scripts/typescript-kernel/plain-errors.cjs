// @ts-check
/** A failed cell shows what went wrong and where in the cell, not the insides of the kernel and of the library. */
const vm = require("node:vm");

function speakPlainly() {
  Error.prepareStackTrace = (error, frames) => {
    const inCells = frames.filter(
      (frame) => frame.getFileName()?.startsWith("evalmachine") && frame.getFunctionName(),
    );
    return [String(error), ...inCells.map((frame) => `  in ${frame.getFunctionName()}`)].join("\n");
  };
  const print = console.error;
  console.error = (...what) => print(...what.map((item) => (item instanceof Error ? item.stack : item)));
  // Else Node.js puts the failing line of compiled code before the message.
  const run = vm.runInThisContext;
  vm.runInThisContext = (code, options) =>
    run(code, {
      .../** @type {vm.RunningCodeOptions} */ (options),
      displayErrors: false,
    });
}

module.exports = { speakPlainly };
