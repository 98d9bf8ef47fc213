// @ts-check
/** What may stand at the cursor, with its kind; within quotes the words that the place takes, such as names of exercises. */
const { cellIn } = require("./cursor.cjs");

/** The compiler's kinds of things in the words that JupyterLab shows. */
const kinds = {
  function: "function",
  "local function": "function",
  method: "function",
  module: "module",
  const: "variable",
  let: "variable",
  var: "variable",
  "local var": "variable",
  parameter: "variable",
  property: "property",
  getter: "property",
  class: "class",
  interface: "interface",
  type: "type",
  keyword: "keyword",
  string: "text",
};

/**
 * @typedef {{ text: string, type: string }} Match
 *
 * @param {any} ts  the compiler
 * @param {any} program  the last that the kernel made
 * @param {string} code
 * @param {number} at  the cursor, in units of the code
 * @param {{ start: number, end: number, candidates: string[], original: any }} found  by the kernel itself
 * @returns {{ start: number, end: number, matches: Match[] }} what to put where
 */
function completion(ts, program, code, at, found) {
  const { file, before } = cellIn(program, code);
  const entries = found.original?.entries ?? [];
  const token = ts.findPrecedingToken(before + at, file);
  if (token && ts.isStringLiteralLike(token) && ts.isInString(file, before + at, token)) {
    const start = token.getStart(file) + 1 - before;
    const written = token.getText(file);
    const closed = written.length > 1 && written.endsWith(written[0]);
    const names = startingWith(
      code.slice(start, at),
      entries.map((/** @type {any} */ each) => each.name),
    );
    return {
      start,
      end: closed ? token.end - 1 - before : at,
      matches: names.map((text) => ({ text, type: "text" })),
    };
  }
  const symbols = symbolsAt(ts, program.getTypeChecker(), token);
  const kindOf = new Map(entries.map((/** @type {any} */ each) => [each.name, each.kind]));
  const matches = [...new Set(found.candidates)].map((text) => {
    const kind = /** @type {keyof typeof kinds} */ (kindOf.get(text));
    const symbol = kind in kinds ? undefined : symbols.get(text);
    return { text, type: symbol ? kindOfSymbol(ts, symbol) : (kinds[kind] ?? "variable") };
  });
  return { start: found.start, end: found.end, matches };
}

/**
 * Names that begin with what is written come first, then those that hold it.
 *
 * @param {string} written
 * @param {readonly string[]} names
 */
function startingWith(written, names) {
  const lower = written.toLowerCase();
  const place = (/** @type {string} */ name) => name.toLowerCase().indexOf(lower);
  return [...new Set(names)]
    .filter((name) => place(name) >= 0)
    .sort((a, b) => Number(place(a) > 0) - Number(place(b) > 0));
}

/**
 * What the names at a token stand for: members after a dot, else all that is in scope. The compiler calls what a module
 * hands on by its path alone.
 *
 * @param {any} ts
 * @param {any} checker
 * @param {any} token
 * @returns {Map<string, any>}
 */
function symbolsAt(ts, checker, token) {
  const { Alias, Value, Module } = ts.SymbolFlags;
  if (token && ts.isPropertyAccessExpression(token.parent)) {
    const { expression } = token.parent;
    const symbol = target(ts, checker, checker.getSymbolAtLocation(expression));
    const members =
      symbol && symbol.flags & Module
        ? checker.getExportsOfModule(symbol)
        : checker.getPropertiesOfType(checker.getTypeAtLocation(expression));
    return byName(ts, checker, members);
  }
  return token ? byName(ts, checker, checker.getSymbolsInScope(token, Alias | Value)) : new Map();
}

/**
 * @param {any} ts
 * @param {any} checker
 * @param {readonly any[]} symbols
 */
const byName = (ts, checker, symbols) =>
  new Map(symbols.map((symbol) => [symbol.name, target(ts, checker, symbol)]));

/**
 * @param {any} ts
 * @param {any} checker
 * @param {any} symbol
 */
const target = (ts, checker, symbol) =>
  symbol && symbol.flags & ts.SymbolFlags.Alias ? checker.getAliasedSymbol(symbol) : symbol;

/**
 * @param {any} ts
 * @param {any} symbol
 */
function kindOfSymbol(ts, { flags }) {
  const { Function: Callable, Method, Module, Class, Interface, TypeAlias, Property } = ts.SymbolFlags;
  if (flags & (Callable | Method)) return "function";
  if (flags & Module) return "module";
  if (flags & Class) return "class";
  if (flags & Interface) return "interface";
  if (flags & TypeAlias) return "type";
  return flags & Property ? "property" : "variable";
}

module.exports = { completion };
