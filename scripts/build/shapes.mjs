// @ts-check
/**
 * What each function of the face takes, as data, read from its types. A cell is checked by a compiler that lets a missing
 * value and a number that is none pass; the face is guarded with these (`lib/guard/public-api.ts`).
 */
import ts from "typescript";

/**
 * @typedef {import("../../lib/guard/public-api.js").Shape} Shape
 * @typedef {import("../../lib/guard/public-api.js").Shapes} Shapes
 */

/**
 * @param {ts.Program} program
 * @param {string} entry  the library's face
 * @returns {Shapes}
 */
export function shapesOf(program, entry) {
  const checker = program.getTypeChecker();
  const source = program.getSourceFile(entry);
  const face = source && checker.getSymbolAtLocation(source);
  if (!face) throw new Error(`${entry} is no module`);
  /** @type {Shape[]} */
  const objects = [];
  /** @type {Map<ts.Type, number>} */
  const known = new Map();
  /** @type {{ [name: string]: ReturnType<typeof parameter>[] }} */
  const functions = {};
  collect(face, "");
  return { functions, objects };

  /**
   * @param {ts.Symbol} module
   * @param {string} before  what stands before a name: `acoustics.level.`
   */
  function collect(module, before) {
    for (const exported of checker.getExportsOfModule(module)) {
      const symbol = exported.flags & ts.SymbolFlags.Alias ? checker.getAliasedSymbol(exported) : exported;
      if (symbol.flags & ts.SymbolFlags.ValueModule) collect(symbol, `${before}${exported.name}.`);
      else if (symbol.flags & (ts.SymbolFlags.Function | ts.SymbolFlags.Variable)) {
        const [signature, more] = checker.getTypeOfSymbol(symbol).getCallSignatures();
        if (signature && !more) functions[before + exported.name] = signature.parameters.map(parameter);
      }
    }
  }

  /**
   * @param {ts.Symbol} symbol
   * @param {number} _
   * @param {readonly ts.Symbol[]} all
   */
  function parameter(symbol, _, all) {
    const node = /** @type {ts.ParameterDeclaration} */ (symbol.valueDeclaration);
    const rest = node.dotDotDotToken !== undefined;
    const name = ts.isIdentifier(node.name) ? node.name.text : "options";
    const type = checker.getTypeOfSymbol(symbol);
    const shape = rest ? 0 : (ofChoice(type, all) ?? shapeOf(type));
    const optional = node.initializer || node.questionToken || rest;
    return optional ? { name, shape, optional: /** @type {const} */ (true) } : { name, shape };
  }

  /**
   * What depends on a word that another parameter has chosen: `panel(name, data)`.
   *
   * @param {ts.Type} type
   * @param {readonly ts.Symbol[]} all
   * @returns {Shape | undefined}
   */
  function ofChoice(type, all) {
    if (!(type.flags & ts.TypeFlags.IndexedAccess)) return undefined;
    const { objectType, indexType } = /** @type {ts.IndexedAccessType} */ (type);
    const by = all.findIndex((one) => checker.getTypeOfSymbol(one) === indexType);
    const choices = checker.getPropertiesOfType(objectType);
    return {
      by,
      of: Object.fromEntries(choices.map((one) => [one.name, shapeOf(checker.getTypeOfSymbol(one))])),
    };
  }

  /**
   * @param {ts.Type} type
   * @param {number} [within]  so many lists and unions around it: some lists hold themselves
   * @returns {Shape} 0 where anything goes
   */
  function shapeOf(type, within = 0) {
    if (within > 4) return 0;
    if (type.isUnion()) return ofUnion(type, within);
    const { flags } = type;
    if (flags & ts.TypeFlags.TypeParameter) {
      const constraint = checker.getBaseConstraintOfType(type);
      return constraint ? shapeOf(constraint, within + 1) : 0;
    }
    if (flags & ts.TypeFlags.Null) return "nothing";
    if (flags & ts.TypeFlags.NumberLike) return "number";
    if (flags & ts.TypeFlags.StringLike) return type.isStringLiteral() ? { one: [type.value] } : "text";
    if (flags & ts.TypeFlags.BooleanLike) return "yes or no";
    // Text beside names that are offered for it.
    if (type.isIntersection() && type.types.some((one) => one.flags & ts.TypeFlags.String)) return "text";
    if (!(flags & (ts.TypeFlags.Object | ts.TypeFlags.Intersection))) return 0;
    if (type.getCallSignatures().length) return "function";
    const name = type.symbol?.name ?? "";
    if (/^(Float64Array|Float32Array|Uint8Array|Uint32Array)$/.test(name)) return { numbers: name };
    if (name === "ArrayLike" || checker.isArrayType(type) || checker.isTupleType(type)) {
      const [element] = checker.getTypeArguments(/** @type {ts.TypeReference} */ (type));
      const shape = element ? shapeOf(element, within + 1) : 0;
      if (checker.isTupleType(type)) {
        const { minLength } = /** @type {ts.TupleTypeReference} */ (type).target;
        return { list: shape, least: minLength };
      }
      return name === "ArrayLike" && shape === "number" ? { numbers: "" } : { list: shape };
    }
    // What is not ours looks after itself.
    const place = type.symbol?.declarations?.[0]?.getSourceFile().fileName ?? "";
    const mapped = /** @type {ts.ObjectType} */ (type).objectFlags & ts.ObjectFlags.Mapped; // Pick, Omit
    if (place.includes("node_modules") && !mapped) return 0;
    return ofObject(type, within);
  }

  /**
   * @param {ts.UnionType} union
   * @param {number} within
   */
  function ofUnion(union, within) {
    const types = union.types.filter((one) => !(one.flags & ts.TypeFlags.Undefined));
    if (types.length === 1) return shapeOf(types[0], within);
    if (types.every((one) => one.flags & ts.TypeFlags.BooleanLike)) return "yes or no";
    if (types.every((one) => one.isStringLiteral() || one.isNumberLiteral()))
      return {
        // The compiler's own order is that in which it met them, which changes with anything.
        one: types
          .map((one) => /** @type {ts.StringLiteralType | ts.NumberLiteralType} */ (one).value)
          .sort((a, b) => (a < b ? -1 : 1)),
      };
    const shapes = types.map((one) => shapeOf(one, within + 1));
    if (shapes.includes("text") && types.every((one) => one.isStringLiteral() || shapeOf(one) === "text"))
      return "text";
    return shapes.includes(0) ? 0 : { any: shapes };
  }

  /**
   * @param {ts.Type} type
   * @param {number} within
   */
  function ofObject(type, within) {
    const seen = known.get(type);
    if (seen !== undefined) return { object: seen };
    const values = type.getStringIndexType();
    if (values) return { map: shapeOf(values, within + 1) };
    const index = objects.push(0) - 1;
    known.set(type, index);
    const fields = type.getProperties().map((property) => {
      const optional = property.flags & ts.SymbolFlags.Optional;
      return [property.name, shapeOf(checker.getTypeOfSymbol(property)), ...(optional ? [true] : [])];
    });
    objects[index] = { fields: /** @type {any} */ (fields) };
    return { object: index };
  }
}
