/**
 * The guard at the library's face: what a cell gives to a function is held against what the function takes, so that a
 * wrong value is named where it stands, before it turns into a number that is none.
 *
 * The compiler behind a cell lets `undefined` pass everywhere, and NaN is a number to it. Inside the library nothing of
 * this runs.
 */

/** 0 is anything; an object's fields stand in a table, since types mention each other. */
export type Shape =
  | 0
  | "number"
  | "text"
  | "yes or no"
  | "function"
  | "nothing"
  | { readonly one: readonly (string | number)[] }
  | { readonly numbers: string }
  | { readonly list: Shape; readonly least?: number }
  | { readonly map: Shape }
  | { readonly any: readonly Shape[] }
  | { readonly by: number; readonly of: { readonly [choice: string]: Shape } }
  | { readonly object: number }
  | { readonly fields: readonly (readonly [name: string, shape: Shape, optional?: true])[] };

export interface Shapes {
  readonly functions: {
    readonly [name: string]: readonly {
      readonly name: string;
      readonly shape: Shape;
      readonly optional?: true;
    }[];
  };
  readonly objects: readonly Shape[];
}

/** So many values of a long list are looked at: its ends, and evenly between. */
const LOOKED_AT = 64;
/** So deep; what lies deeper came out of the library itself. */
const DEPTH = 5;
/** No quantity here is larger, in whatever unit; far beyond it sums overflow. */
const LARGEST = 1e15;

/**
 * Functions that refuse what they cannot take.
 *
 * @param face    functions by name; what is none is left as it is
 * @param shapes  what each takes
 * @param before  what stands before the names in `shapes`
 * @returns the same names; each function throws a RangeError that names the argument, what was found and what was expected
 */
export function guardPublicApi(
  face: { readonly [name: string]: unknown },
  shapes: Shapes,
  before = "",
): object {
  return Object.fromEntries(
    Object.entries(face).map(([name, value]) => {
      const parameters = shapes.functions[before + name];
      if (typeof value === "function" && parameters) {
        const called = before + name;
        const apply = (target: object, self: unknown, given: unknown[]) => {
          requireArguments(called, parameters, given, shapes.objects);
          return requireNumbers(
            called,
            plainly(called, parameters, () => Reflect.apply(target as () => unknown, self, given)),
          );
        };
        return [name, new Proxy(value, { apply })];
      }
      const names = `${before}${name}.`;
      const isGroup = Object.keys(shapes.functions).some((each) => each.startsWith(names));
      return [name, isGroup ? guardPublicApi(value as { [name: string]: unknown }, shapes, names) : value];
    }),
  );
}

function requireArguments(
  called: string,
  parameters: Shapes["functions"][string],
  given: readonly unknown[],
  objects: readonly Shape[],
): void {
  parameters.forEach(({ name, shape, optional }, i) => {
    if (given[i] === undefined && optional) return;
    const chosen = typeof shape === "object" && "by" in shape ? shape.of[String(given[shape.by])] : shape;
    const fault = faultIn(given[i], chosen ?? 0, name, objects, 0);
    if (fault) throw new RangeError(`${called}(): ${fault}`);
  });
}

/** What slipped through to where only the language itself complains is told as what it is: arguments that don't fit. */
function plainly<T>(called: string, parameters: Shapes["functions"][string], call: () => T): T {
  try {
    return call();
  } catch (error) {
    const ofLanguage =
      error instanceof TypeError ||
      /^(Invalid|Maximum call|Array buffer|WebAssembly)/.test((error as Error)?.message);
    if (!ofLanguage) throw error;
    const names = parameters.map(({ name }) => name).join(", ");
    throw new RangeError(
      `${called}() can't use what it was given: look at ${names}; a list may be empty, or they don't belong together`,
      { cause: error },
    );
  }
}

function requireNumbers<T>(called: string, answer: T): T {
  const no = noNumber(answer, "", 0);
  if (no === undefined) return answer;
  const where = no && ` at ${no}`;
  throw new RangeError(
    `${called}() comes to no number${where}: look at what it was given, it does not fit together`,
  );
}

/** What is wrong with a value, with the path to it; nothing where it fits. */
function faultIn(
  value: unknown,
  shape: Shape,
  path: string,
  objects: readonly Shape[],
  depth: number,
): string | undefined {
  if (shape === 0 || depth > DEPTH) return undefined;
  if (typeof shape === "object" && "object" in shape)
    return faultIn(value, objects[shape.object], path, objects, depth);
  if (value === null && typeof shape === "object" && "any" in shape && shape.any.includes("nothing"))
    return undefined;
  if (value === undefined || value === null) {
    const remedy = depth === 0 ? "; run the cell that makes it, then this one again" : "";
    return `${path} is ${value}, expected ${said(shape)}${remedy}`;
  }
  if (!hasKind(value, shape)) {
    const large = shape === "number" && Number.isFinite(value) ? ` up to ${LARGEST}` : "";
    return `${path} is ${found(value)}, expected ${said(shape)}${large}`;
  }
  if (typeof shape === "string" || "one" in shape || "by" in shape) return undefined;
  if ("any" in shape) {
    const faults = shape.any.map((one) => faultIn(value, one, path, objects, depth));
    if (faults.includes(undefined)) return undefined;
    const told = faults.filter((_, i) => hasKind(value, resolved(shape.any[i], objects)));
    // Of kinds that a word tells apart, the one that the value says it is.
    return (
      told.find((fault) => !fault?.includes('expected "')) ??
      told[0] ??
      `${path} is ${found(value)}, expected ${said(shape)}`
    );
  }
  if ("fields" in shape) {
    for (const [name, of, optional] of shape.fields) {
      const field = (value as { [name: string]: unknown })[name];
      if (field === undefined && optional) continue;
      const fault = faultIn(field, of, `${path}.${name}`, objects, depth + 1);
      if (fault) return fault;
    }
    return undefined;
  }
  if ("map" in shape) {
    for (const [name, one] of Object.entries(value as object)) {
      const fault = faultIn(one, shape.map, `${path}[${JSON.stringify(name)}]`, objects, depth + 1);
      if (fault) return fault;
    }
    return undefined;
  }
  const element = "numbers" in shape ? "number" : "list" in shape ? shape.list : 0;
  const { length } = value as ArrayLike<unknown>;
  const step = Math.max(1, length / LOOKED_AT);
  for (let at = 0; at < length; at = Math.max(at + 1, Math.ceil(at + step))) {
    const fault = faultIn((value as ArrayLike<unknown>)[at], element, `${path}[${at}]`, objects, depth + 1);
    if (fault) return fault;
  }
  return undefined;
}

/** Where in an answer a number is none; nothing where all are. */
function noNumber(value: unknown, path: string, depth: number): string | undefined {
  // -Infinity dB is what nothing at all comes to.
  if (typeof value === "number") return Number.isNaN(value) || value === Infinity ? path : undefined;
  if (typeof value !== "object" || value === null || depth > DEPTH) return undefined;
  if (Array.isArray(value) || ArrayBuffer.isView(value)) {
    const { length } = value as ArrayLike<unknown>;
    const step = Math.max(1, length / LOOKED_AT);
    for (let at = 0; at < length; at = Math.max(at + 1, Math.ceil(at + step))) {
      const no = noNumber((value as ArrayLike<unknown>)[at], `${path}[${at}]`, depth + 1);
      if (no !== undefined) return no;
    }
    return undefined;
  }
  for (const [name, field] of Object.entries(value)) {
    const no = noNumber(field, path ? `${path}.${name}` : name, depth + 1);
    if (no !== undefined) return no;
  }
  return undefined;
}

const resolved = (shape: Shape, objects: readonly Shape[]): Shape =>
  typeof shape === "object" && "object" in shape ? objects[shape.object] : shape;

/** Whether a value is of the kind, whatever it holds. */
function hasKind(value: unknown, shape: Shape): boolean {
  if (shape === 0) return true;
  if (shape === "nothing") return false;
  if (shape === "number") return typeof value === "number" && Math.abs(value) <= LARGEST;
  if (shape === "text") return typeof value === "string";
  if (shape === "yes or no") return typeof value === "boolean";
  if (shape === "function") return typeof value === "function";
  if ("one" in shape) return shape.one.includes(value as string);
  if ("any" in shape || "by" in shape) return true;
  if ("list" in shape)
    return (Array.isArray(value) || ArrayBuffer.isView(value)) && !(sizeOf(value) < (shape.least ?? 0));
  if ("numbers" in shape) return ArrayBuffer.isView(value) || (shape.numbers === "" && Array.isArray(value));
  return typeof value === "object" && !Array.isArray(value) && !ArrayBuffer.isView(value);
}

const sizeOf = (list: object): number => (list as { readonly length: number }).length;

function said(shape: Shape): string {
  if (shape === 0 || shape === "nothing") return "a value";
  if (shape === "number") return "a number";
  if (shape === "text") return "a text in quotes";
  if (shape === "yes or no") return "true or false";
  if (shape === "function") return "a function";
  if ("one" in shape) return shape.one.map((one) => JSON.stringify(one)).join(" or ");
  if ("any" in shape)
    return [...new Set(shape.any.filter((one) => one !== "nothing").map(said))].join(" or ");
  if ("by" in shape) return "what belongs to it";
  if ("list" in shape) return shape.least ? `a list of ${shape.least}` : "a list";
  if ("numbers" in shape) return shape.numbers || "a list of numbers";
  if ("map" in shape) return "an object with a name for each entry";
  if ("object" in shape) return "an object";
  const names = shape.fields.filter(([, , optional]) => !optional).map(([name]) => name);
  if (names.length === 0) return "an object";
  return `an object with ${names.slice(0, 6).join(", ")}${names.length > 6 ? ", …" : ""}`;
}

function found(value: unknown): string {
  if (typeof value === "string") return JSON.stringify(value.length > 40 ? `${value.slice(0, 40)}…` : value);
  if (Array.isArray(value)) return `a list of ${value.length}`;
  if (ArrayBuffer.isView(value)) return `a ${value.constructor.name}`;
  if (typeof value === "object") return "an object";
  return typeof value === "function" ? "a function" : String(value);
}
