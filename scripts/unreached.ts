/**
 * Names what stands at the top of a file in lib/ and is reached neither from the public interface nor from a command:
 * what tests alone use counts as unreached.
 *
 *   node scripts/run.mjs scripts/unreached.ts
 */
import { join, relative, sep } from "node:path";
import ts from "typescript";

/** The compiler writes paths with slashes on every system. */
const root = join(__dirname, "..").split(sep).join("/");
const library = `${root}/lib/`;
/** What the build takes by its path. */
const entries = ["index.ts", "guard/public-api.ts", "study/study-thread.ts", "lesson/browser/runtime.ts"].map(
  (file) => library + file,
);

const { config } = ts.readConfigFile(`${root}/tsconfig.json`, ts.sys.readFile);
const { options, fileNames } = ts.parseJsonConfigFileContent(config, ts.sys, root);
const program = ts.createProgram(
  fileNames.filter((file) => !relative(root, file).startsWith("tests")),
  options,
);
const checker = program.getTypeChecker();
const files = program.getSourceFiles().filter((file) => !file.fileName.includes("node_modules"));

const reached = new Set<ts.Node>();
for (const file of files) {
  if (!file.fileName.startsWith(library)) visit(file);
  else for (const statement of file.statements) if (isRun(statement)) visit(statement);
}
for (const file of entries) for (const name of exportsOf(file)) reach(name);

const unreached = files
  .filter((file) => file.fileName.startsWith(library))
  .flatMap((file) => file.statements.flatMap(declarationsIn).filter((node) => !reached.has(node)));
for (const node of unreached) {
  const file = node.getSourceFile();
  const line = file.getLineAndCharacterOfPosition(node.getStart()).line + 1;
  console.log(`${relative(root, file.fileName)}:${line}: nothing but tests reaches ${node.name?.getText()}`);
}
process.exit(unreached.length > 0 ? 1 : 0);

/** What an entry hands out, through groups as well. */
function exportsOf(file: string): ts.Symbol[] {
  const symbol = checker.getSymbolAtLocation(program.getSourceFile(file) as ts.SourceFile);
  const all = (module: ts.Symbol): ts.Symbol[] =>
    checker.getExportsOfModule(module).flatMap((name) => {
      const meant = resolved(name);
      return meant.flags & ts.SymbolFlags.ValueModule ? all(meant) : [meant];
    });
  return symbol ? all(symbol) : [];
}

function resolved(symbol: ts.Symbol): ts.Symbol {
  return symbol.flags & ts.SymbolFlags.Alias ? checker.getAliasedSymbol(symbol) : symbol;
}

function reach(symbol: ts.Symbol): void {
  for (const declaration of symbol.declarations ?? []) {
    const node = topOf(declaration);
    if (!node || reached.has(node)) continue;
    reached.add(node);
    visit(node);
  }
}

/** Reaches all that a piece of code names. */
function visit(node: ts.Node): void {
  if (ts.isIdentifier(node)) {
    const symbol = ts.isShorthandPropertyAssignment(node.parent)
      ? checker.getShorthandAssignmentValueSymbol(node.parent)
      : checker.getSymbolAtLocation(node);
    if (symbol) reach(resolved(symbol));
  }
  ts.forEachChild(node, visit);
}

/** Whether it does something as soon as its file is read. */
function isRun(statement: ts.Statement): boolean {
  return ts.isExpressionStatement(statement) || ts.isIfStatement(statement);
}

type Declaration = ts.NamedDeclaration;

function declarationsIn(statement: ts.Statement): Declaration[] {
  if (ts.isVariableStatement(statement)) return [...statement.declarationList.declarations];
  return isDeclaration(statement) ? [statement] : [];
}

function isDeclaration(node: ts.Node): node is Declaration & ts.Statement {
  return (
    ts.isFunctionDeclaration(node) ||
    ts.isInterfaceDeclaration(node) ||
    ts.isTypeAliasDeclaration(node) ||
    ts.isClassDeclaration(node)
  );
}

/** The declaration at the top of its file that a node stands in. */
function topOf(node: ts.Node): ts.Node | undefined {
  let at = node;
  while (at.parent && !ts.isSourceFile(at.parent)) {
    if (ts.isVariableDeclaration(at) && ts.isSourceFile(at.parent.parent.parent)) return at;
    at = at.parent;
  }
  return at.parent ? at : undefined;
}
