/** The examples of docstrings as cells of a notebook: their types held against the declarations, then run. */
import path from "node:path";
import { inspect, isDeepStrictEqual } from "node:util";
import ts from "typescript";
import type { Reference } from "../../scripts/book/reference/declarations";

export interface Example {
  /** Of its function. */
  readonly name: string;
  readonly code: string;
}

export const examplesOf = ({ groups }: Reference): Example[] =>
  groups.flatMap(({ entries }) =>
    entries.flatMap(({ name, examples }) => examples.map((code) => ({ name, code }))),
  );

/**
 * @param declarations  file of the package that the examples use
 * @param scope  what a cell has imported of it
 * @returns a line for each fault of type, with the function's name
 */
export function typeFaults(examples: readonly Example[], declarations: string, scope: readonly string[]) {
  const options: ts.CompilerOptions = {
    // As the kernel compiles a cell, which is not strict.
    lib: ["lib.es2022.d.ts"],
    target: ts.ScriptTarget.ES2022,
    module: ts.ModuleKind.ESNext,
    moduleResolution: ts.ModuleResolutionKind.Node10,
    paths: { evenground: [declarations] },
    types: ["node"],
    noEmit: true,
    skipLibCheck: true,
  };
  const host = ts.createCompilerHost(options);
  const files = new Map(
    examples.map((example, i) => [host.getCanonicalFileName(path.posix.join("/", `${i}.ts`)), example]),
  );
  const { fileExists, getSourceFile } = host;
  host.fileExists = (file) => files.has(file) || fileExists(file);
  host.getSourceFile = (file, ...rest) => {
    const code = files.get(file)?.code;
    if (code === undefined) return getSourceFile(file, ...rest);
    const cell = `import { ${scope.join(", ")} } from "evenground";\n${code}`;
    return ts.createSourceFile(file, cell, ts.ScriptTarget.ES2022);
  };
  const program = ts.createProgram([...files.keys()], options, host);
  return ts.getPreEmitDiagnostics(program).map(({ file, start, messageText }) => {
    const name = file && files.get(file.fileName)?.name;
    const line = file && start !== undefined ? file.getLineAndCharacterOfPosition(start).line : 0;
    return `${name}, line ${line}: ${ts.flattenDiagnosticMessageText(messageText, " ")}`;
  });
}

/**
 * Runs an example, awaiting what it promises.
 *
 * @param scope  what a cell has imported, by its name
 * @returns what is wrong where its last line is `expression // value` and gives another value
 */
export async function run({ code }: Example, scope: object): Promise<string | undefined> {
  const source = ts.createSourceFile("cell.ts", code, ts.ScriptTarget.ES2022);
  const last = source.statements.at(-1);
  const result = last && ts.isExpressionStatement(last) ? last.expression : undefined;
  const body = result ? `${code.slice(0, result.pos)} return (${result.getText(source)});` : code;
  const cell = ts.transpile(`return async () => {\n${body}\n}`, { target: ts.ScriptTarget.ES2022 });
  const value = await new Function(...Object.keys(scope), cell)(...Object.values(scope))();
  const stated = result && /^\s*;?[ \t]*\/\/ *(.+)\s*$/.exec(code.slice(result.end))?.[1];
  if (stated === undefined || agrees(value, readValue(stated))) return undefined;
  return `${result?.getText(source)} is ${inspect(value)}, not ${stated}`;
}

/** A number with the digits that it was written with. */
class Written {
  readonly value: number;
  /** Half a step of the last digit. */
  readonly tolerance: number;
  constructor(text: string) {
    const [, digits, exponent] = /^[^.e]*\.?(\d*)(?:e(.+))?$/.exec(text) ?? [];
    this.value = Number(text);
    this.tolerance = 0.5 * 10 ** (Number(exponent ?? 0) - digits.length);
  }
}

type Value = Written | string | boolean | null | undefined | readonly Value[];

/** @param text  a value as TypeScript writes it, a minus as one likes; a unit may follow a number */
function readValue(text: string): Value {
  const plain = text.replaceAll("−", "-").trim();
  const number = /^(-?\d+(?:\.\d+)?(?:e[-+]?\d+)?)(?: \S+)?$/.exec(plain);
  if (number) return new Written(number[1]);
  if (plain === "undefined") return undefined;
  try {
    const marked = plain.replaceAll(/("(?:[^"\\]|\\.)*")|-?\d+(?:\.\d+)?(?:e[-+]?\d+)?/g, (found, quoted) =>
      quoted ? found : `{ "written": "${found}" }`,
    );
    return JSON.parse(marked, (_, one) =>
      typeof one?.written === "string" ? new Written(one.written) : one,
    );
  } catch {
    throw new Error(`"// ${text}" states no value: a number, "text", true, false, null or a list of these`);
  }
}

function agrees(value: unknown, stated: Value): boolean {
  if (stated instanceof Written)
    return typeof value === "number" && Math.abs(value - stated.value) <= stated.tolerance * (1 + 1e-9);
  if (!Array.isArray(stated)) return isDeepStrictEqual(value, stated);
  const list = ArrayBuffer.isView(value) ? [...(value as Float64Array)] : value;
  return (
    Array.isArray(list) && list.length === stated.length && stated.every((one, i) => agrees(list[i], one))
  );
}
