// @ts-check
/**
 * What runs in the sandbox: a student's cells, compiled as the kernel compiles them, then their functions, one call at a time. It
 * holds no room and no score. Whatever the cells change in this process, all that leaves it are measurements asked for and
 * answers, as lines of JSON, and those are guesses like any other.
 */
const { readSync, writeSync } = require("node:fs");
const { createRequire } = require("node:module");
const path = require("node:path");
const { deserialize } = require("node:v8");
const vm = require("node:vm");
const { prepared } = require("../../typescript-kernel/compiler.cjs");
const { loadMathjsInOne } = require("../../typescript-kernel/mathjs-in-one.cjs");

// What the cells may replace is taken before they run; a guess is worth the same, whatever else its author tries.
const { stringify } = JSON;
const { from: bufferFrom, alloc, concat } = Buffer;
const { chdir, exit } = process;

// Where no namespace keeps other processes away, a student's code shall not end the examiner's by chance.
for (const name of ["kill", "_kill"]) Object.defineProperty(process, name, { value: undefined });

/** Lines from the examiner, and to the examiner. */
const [from, to] = [3, 4];
const newline = 10;

let rest = alloc(0);
/** @returns {any} the next line: what the examiner wrote may hold arrays of numbers, so it is not JSON */
function receive() {
  for (;;) {
    for (let end = 0; end < rest.length; end++) {
      if (rest[end] !== newline) continue;
      const line = rest.toString("latin1", 0, end);
      rest = rest.subarray(end + 1);
      return deserialize(bufferFrom(line, "base64"));
    }
    const block = alloc(65_536);
    const got = readSync(from, block);
    if (got === 0) exit();
    rest = concat([rest, block.subarray(0, got)]);
  }
}

/** @param {object} message */
function send(message) {
  const bytes = bufferFrom(`${stringify(message)}\n`);
  for (let sent = 0; sent < bytes.length; ) sent += writeSync(to, bytes, sent);
}

/** @param {unknown} error */
const messageOf = (error) => `${error instanceof Error ? error.message : error}`.slice(0, 500);

/**
 * Each cell as JavaScript, all of them before one runs; the names of one are known to the next.
 *
 * @param {readonly string[]} cells
 * @returns {{ output: string, waits: boolean, problem: string }[]}
 */
function compiled(cells) {
  const tslab = createRequire(require.resolve("tslab/package.json"));
  const compiler = tslab.resolve("@tslab/typescript-for-tslab");
  const typescript = require(compiler);
  const loaded = require.cache[compiler];
  if (loaded) loaded.exports = prepared(typescript, path.dirname(compiler));
  const converter = require("tslab/dist/converter").createConverter({ isJS: false, isBrowser: false });
  let names = "";
  return cells.map((cell) => {
    const { output, declOutput, diagnostics, hasToplevelAwait } = convertWithCommas(converter, names, cell);
    if (diagnostics.length === 0) names = declOutput || "";
    const [wrong] = diagnostics;
    const problem = wrong ? `line ${wrong.start.line + 1}: ${wrong.messageText}` : "";
    return { output: wrong ? "" : output || "", waits: hasToplevelAwait === true, problem };
  });
}

/**
 * As the converter has it, with commas put in where the compiler finds that one is missing: that is no reason to lose an exercise.
 *
 * @param {{ convert(names: string, cell: string): any }} converter
 * @param {string} names
 * @param {string} cell
 */
function convertWithCommas(converter, names, cell) {
  let source = cell;
  for (let missing = 0; ; missing++) {
    const converted = converter.convert(names, source);
    const wrong = converted.diagnostics.find(
      (/** @type {any} */ one) => one.code === COMMA_EXPECTED && one.messageText === "',' expected.",
    );
    if (!wrong || missing === MOST_COMMAS) return converted;
    source = `${source.slice(0, wrong.start.offset)},${source.slice(wrong.start.offset)}`;
  }
}
const COMMA_EXPECTED = 1005;
const MOST_COMMAS = 10;

/** What the cells have declared, by name. */
/** @type {{ [name: string]: any }} */
const declared = {};
const set = Reflect.set;
/** Exports of a cell, which the compiler defines once, may be declared anew by another. */
const cellExports = new Proxy(declared, {
  defineProperty: (target, name, { get, value }) =>
    name === "__esModule" || set(target, name, get ? get() : value),
});

/** Nobody looks on: what is shown is shown to no one. */
const display = new Proxy({}, { get: () => () => {} });
const ofCourse = createRequire(path.join(process.env.EVENGROUND_SCRATCH ?? process.cwd(), "cell.js"));
const cellRequire = (/** @type {string} */ name) => (name === "tslab" ? { display } : ofCourse(name));

async function main() {
  // chroot leaves us at its top.
  if (process.env.EVENGROUND_SCRATCH) chdir(process.env.EVENGROUND_SCRATCH);
  loadMathjsInOne();
  const cells = compiled(receive().cells);
  Object.assign(globalThis, { __tslab__: { exports: cellExports, require: cellRequire } });
  const problems = [];
  for (let at = 0; at < cells.length; at++) {
    const { output, waits, problem } = cells[at];
    send({ cell: at });
    try {
      if (problem) throw new Error(problem);
      const run = vm.runInThisContext(`(${waits ? "async " : ""}function (exports, require) {${output}\n})`);
      const done = run(cellExports, cellRequire);
      if (waits) await done;
    } catch (error) {
      problems[problems.length] = messageOf(error);
    }
  }
  send({ problems });
  for (;;) {
    const { call, room } = receive();
    try {
      const decide = declared[call];
      if (typeof decide !== "function") throw new Error(`there is no function ${call}`);
      send({ answer: await decide(asCandidate(room)) });
    } catch (error) {
      send({ problem: messageOf(error) });
    }
  }
}

/**
 * An exercise as a way to decide gets it (`course.grade`): to measure and to look.
 *
 * @param {any} room
 */
function asCandidate({ microphones, ...room }) {
  let left = microphones;
  return {
    ...room,
    get microphonesLeft() {
      return left;
    },
    /** @param {unknown} positions */
    measure(positions) {
      send({ measure: positions });
      const { survey, refused, microphones: now } = receive();
      left = now;
      if (refused !== undefined) throw new RangeError(refused);
      return survey;
    },
  };
}

main();
