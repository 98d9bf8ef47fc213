// @ts-check
/** A failed cell shows what went wrong and where in the cell, not the insides of the kernel and of the library. */
const vm = require("node:vm");
const { ifRenewed } = require("./renewed.cjs");

function speakPlainly() {
  Error.prepareStackTrace = (error, frames) => {
    const inCells = frames.filter(
      (frame) =>
        frame.getScriptNameOrSourceURL()?.startsWith("evalmachine") && isNamed(frame.getFunctionName()),
    );
    const where = inCells.map((frame) => `  in ${frame.getFunctionName()}`);
    return [String(error), ...where, ...remedy(error)].join("\n");
  };
  const print = console.error;
  /** @type {any[][]} */
  let complaints = [];
  const tell = () => {
    print(inWords(complaints));
    complaints = [];
  };
  console.error = (...what) => {
    // The compiler's complaints about one cell come in one go; together they are told once the last one is in.
    if (what[0] === COMPLAINT && complaints.push(what) === 1) queueMicrotask(tell);
    else if (what[0] !== COMPLAINT) print(...what.map((item) => (item instanceof Error ? item.stack : item)));
  };
  // Else Node.js puts the failing line of compiled code before the message.
  const run = vm.runInThisContext;
  vm.runInThisContext = (code, options) =>
    run(code, {
      .../** @type {vm.RunningCodeOptions} */ (options),
      displayErrors: false,
    });
}

/** A cell as a whole has no name, or that of what runs it in a browser. */
const isNamed = (/** @type {string | null} */ name) => name !== null && name !== "" && name !== "eval";

/** How the kernel prints what the compiler finds: file, line, character, text. */
const COMPLAINT = "%s%d:%d - %s";

/** Names that are missing share two lines, what went wrong and what to do; anything else has its own. */
function inWords(/** @type {any[][]} */ complaints) {
  const told = complaints.map(([, file, line, , text]) => ({
    place: `${file}line ${line}`,
    text,
    missing: /(?:Cannot find name|shorthand property) '([^']+)'/.exec(text)?.[1],
  }));
  const missing = [...new Set(told.flatMap((each) => each.missing ?? []))];
  const [first] = told.filter((each) => each.missing);
  const together =
    missing.length > 1 && `${first.place}: Cannot find ${missing.map((name) => `'${name}'`).join(", ")}.`;
  const others = told.filter((each) => !together || !each.missing);
  const lines = others.map(({ place, text }) => `${place}: ${text}`);
  const remedy = ifRenewed() ?? (missing.length ? notYet(missing) : undefined);
  return [...(together ? [together] : []), ...new Set(lines), ...(remedy ? [remedy] : [])].join("\n");
}

const notYet = (/** @type {readonly string[]} */ names) =>
  names.length === 1
    ? `Nothing here is called ${names[0]} yet: run the cell above that makes it, then this one again.`
    : "Nothing here has these names yet: run the cells above that make them, then this one again.";

/** What to do about the errors that a beginner meets first; the library's own messages say it themselves. */
function remedy(/** @type {Error} */ error) {
  const renewed = ifRenewed();
  if (renewed) return [renewed];
  const [, missing] = /^(.+) is not defined$/.exec(error.message) ?? [];
  if (error.name === "ReferenceError" && missing) {
    return [notYet([missing])];
  }
  if (error.name === "TypeError" && /undefined|not a function|not iterable/.test(error.message)) {
    return [
      "Something is not what this cell expects: run the cells above in their order, then this one again.",
    ];
  }
  return [];
}

module.exports = { speakPlainly, remedy };
