// @ts-check
/** Declaration files into one: each statement that the face shows, or that such a statement mentions, once. */
import path from "node:path";
import ts from "typescript";

/**
 * @param {string} entry  the declaration file of the face
 * @param {ReadonlyMap<string, string>} files  all declaration files by absolute path
 * @param {(file: string, name: string) => string} writeOut  a type alias with all that it computes done
 * @returns {string}
 */
export function rollUp(entry, files, writeOut) {
  const { checker, face } = read(entry, files);
  /** @type {Map<ts.Symbol, string>} */
  const names = new Map();
  /** @type {Set<string>} */
  const taken = new Set();
  /** @type {string[]} */
  const statements = [];
  /**
   * Types that only others mention. A cell's results are declared to the next cell, for which each needs a name that can be
   * imported: `types.Zone`.
   *
   * @type {string[]}
   */
  const helpers = [];
  const shown = new Map(face.map((symbol) => [target(checker, symbol), symbol.name]));
  for (const [symbol, name] of shown) give(symbol, name);
  for (const symbol of shown.keys()) include(symbol);
  const exported = face.map((symbol) => {
    const name = names.get(target(checker, symbol));
    return name === symbol.name ? name : `${name} as ${symbol.name}`;
  });
  if (helpers.length > 0) {
    statements.push(`declare namespace types {\n${helpers.join("\n")}\n}`);
    exported.push("types");
  }
  return `${statements.join("\n")}\nexport { ${exported.join(", ")} };\n`;

  /**
   * @param {ts.Symbol} symbol
   * @param {string} wish
   */
  function give(symbol, wish) {
    let name = wish;
    for (let n = 1; taken.has(name); n++) name = `${wish}_${n}`;
    taken.add(name);
    names.set(symbol, name);
    return name;
  }

  /** @param {ts.Symbol} symbol */
  function include(symbol) {
    statements.push(declared(symbol, /** @type {string} */ (names.get(symbol))));
  }

  /**
   * What declares a symbol under a name: its statements, or a namespace of what a module shows (`export * as name`) under the
   * module's own words, which holds its functions themselves, so that an editor tells their names as they are called.
   *
   * @param {ts.Symbol} symbol
   * @param {string} name
   * @param {string} [before]  what stands before the name: `acoustics.`
   * @returns {string}
   */
  function declared(symbol, name, before = "") {
    if (!(symbol.flags & ts.SymbolFlags.ValueModule)) {
      const texts = [...new Set(symbol.declarations?.map(statementOf))];
      return texts.map((statement) => textOf(statement, name, symbol)).join("\n");
    }
    const members = checker.getExportsOfModule(symbol).map((member) => {
      const inner = target(checker, member);
      if (names.has(inner))
        throw new Error(`${before}${name}.${member.name} is public as ${names.get(inner)} too`);
      names.set(inner, `${before}${name}.${member.name}`);
      return declared(inner, member.name, `${before}${name}.`).replace(/^declare /gm, "");
    });
    const about = /^\/\*\*[\s\S]*?\*\//.exec(symbol.declarations?.[0].getSourceFile().text ?? "")?.[0] ?? "";
    return `${about}\ndeclare namespace ${name} {\n${members.join("\n")}\n}`;
  }

  /**
   * The name under which a symbol stands in the one file; it is put there where it is not yet.
   *
   * @param {ts.Symbol} symbol
   * @returns {string}
   */
  function nameFor(symbol) {
    const known = names.get(symbol);
    if (known) return known;
    const name = give(symbol, symbol.name);
    if (!(symbol.flags & ts.SymbolFlags.Type)) {
      include(symbol);
      return name;
    }
    names.set(symbol, `types.${name}`);
    helpers.push(declared(symbol, name).replace(/^declare /gm, ""));
    return `types.${name}`;
  }

  /**
   * @param {ts.Statement} statement
   * @param {string} name
   * @param {ts.Symbol} symbol
   */
  function textOf(statement, name, symbol) {
    const file = statement.getSourceFile();
    const comment = file.text.slice(statement.getFullStart(), statement.getStart()).trim();
    const found = mentions(statement);
    // A type read off a table, as the names of all exercises are: the table stays out.
    const readOff = ts.isTypeAliasDeclaration(statement) && /\btypeof\b/.test(statement.type.getText());
    if (readOff || found.some(({ aim, imported }) => imported && !isOurs(aim))) {
      return `${comment}\n${writeOut(file.fileName, symbol.name).replace(symbol.name, name)}`;
    }
    let text = "";
    let done = statement.getStart();
    for (const { from, to, aim } of found.filter((one) => isOurs(one.aim))) {
      text += file.text.slice(done, from) + (aim === symbol ? name : nameFor(aim));
      done = to;
    }
    text += file.text.slice(done, statement.getEnd());
    return `${comment}\n${text.replace(/^export (default )?/, "").replace(/^(?!declare|interface|type)/, "declare ")}`;
  }

  /**
   * Where a statement names something, in the order of its text, and what.
   *
   * @param {ts.Statement} statement
   */
  function mentions(statement) {
    /** @type {{ from: number, to: number, aim: ts.Symbol, imported: boolean }[]} */
    const found = [];
    const visit = (/** @type {ts.Node} */ node) => {
      const name = ts.isImportTypeNode(node) ? node.qualifier : ts.isIdentifier(node) ? node : undefined;
      const symbol = name && checker.getSymbolAtLocation(name);
      if (symbol) {
        const imported = ts.isImportTypeNode(node) || Boolean(symbol.flags & ts.SymbolFlags.Alias);
        found.push({ from: node.getStart(), to: name.getEnd(), aim: target(checker, symbol), imported });
      }
      if (ts.isImportTypeNode(node)) node.typeArguments?.forEach(visit);
      else ts.forEachChild(node, visit);
    };
    visit(statement);
    return found;
  }

  /** @param {ts.Symbol | undefined} symbol */
  function isOurs(symbol) {
    const declaration = symbol?.declarations?.[0];
    if (!declaration) return false;
    if (ts.isSourceFile(declaration)) return files.has(path.resolve(declaration.fileName));
    const parent = ts.isVariableDeclaration(declaration)
      ? declaration.parent.parent.parent
      : declaration.parent;
    return ts.isSourceFile(parent) && files.has(path.resolve(parent.fileName));
  }
}

/**
 * What a name stands for in the end.
 *
 * @param {ts.TypeChecker} checker
 * @param {ts.Symbol} symbol
 */
const target = (checker, symbol) =>
  symbol.flags & ts.SymbolFlags.Alias ? checker.getAliasedSymbol(symbol) : symbol;

/**
 * @param {ts.Declaration} declaration
 * @returns {ts.Statement}
 */
function statementOf(declaration) {
  const statement = ts.isVariableDeclaration(declaration) ? declaration.parent.parent : declaration;
  return /** @type {ts.Statement} */ (/** @type {unknown} */ (statement));
}

/**
 * @param {string} entry
 * @param {ReadonlyMap<string, string>} files
 */
function read(entry, files) {
  const options = { noLib: true, types: [], skipLibCheck: true };
  const host = ts.createCompilerHost(options);
  const { getSourceFile } = host;
  host.fileExists = (file) => files.has(path.resolve(file));
  host.readFile = (file) => files.get(path.resolve(file));
  host.directoryExists = () => true;
  host.getSourceFile = (file, ...rest) => {
    const text = files.get(path.resolve(file));
    return text === undefined
      ? getSourceFile(file, ...rest)
      : ts.createSourceFile(file, text, ts.ScriptTarget.ES2022, true);
  };
  const program = ts.createProgram([entry], options, host);
  const checker = program.getTypeChecker();
  const source = program.getSourceFile(entry);
  const module = source && checker.getSymbolAtLocation(source);
  if (!module) throw new Error(`${entry} shows nothing`);
  return { checker, face: checker.getExportsOfModule(module) };
}
