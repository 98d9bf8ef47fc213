/** The library's declarations, dist/index.d.ts, as plain data: what the reference's pages and its rule are made of. */
import ts from "typescript";

export interface Reference {
  readonly groups: readonly Group[];
  /** Those that a notebook can import first, then those in `types`, each by its name. */
  readonly types: readonly PublicType[];
}

export interface Group {
  /** Empty for what stands in no group. */
  readonly name: string;
  readonly summary: string;
  /** Groups within it: `acoustics.air`. */
  readonly parts: readonly { readonly name: string; readonly summary: string }[];
  readonly entries: readonly Entry[];
}

/** A public function or value. */
export interface Entry extends Said {
  /** With its groups: `acoustics.air.absorption`. */
  readonly name: string;
  readonly kind: "function" | "value";
  readonly parameters: readonly Parameter[];
  /** Type of what it returns, or of the value. */
  readonly type: string;
  /** What that has, where it is an object whose type has no name. */
  readonly fields: readonly Field[];
}

/** What a docstring says. */
export interface Said {
  readonly summary: string;
  readonly returns?: string;
  readonly throws: readonly string[];
  readonly source?: string;
  readonly examples: readonly string[];
}

/** A parameter, or a field of an object. */
export interface Parameter {
  /** A destructured parameter has that of the `@param` which names no other. */
  readonly name: string;
  readonly optional: boolean;
  readonly type: string;
  readonly text: string;
  /** What it may have, where it is an object whose type has no name that a notebook can import. */
  readonly fields: readonly Field[];
}

export type Field = Omit<Parameter, "fields">;

export interface PublicType {
  readonly name: string;
  /** Whether it stands in `types`, for others mention it only. */
  readonly inner: boolean;
  readonly summary: string;
  /** As it is declared. */
  readonly code: string;
  readonly fields: readonly Field[];
}

/** @param file  a declaration file; what it declares must be its own */
export function readDeclarations(file: string): Reference {
  const program = ts.createProgram([file], { lib: ["lib.es2022.d.ts"], types: [], strict: true });
  const checker = program.getTypeChecker();
  const source = program.getSourceFile(file);
  const module = source && checker.getSymbolAtLocation(source);
  if (!module) throw new Error(`${file} exports nothing`);

  const groups: Group[] = [];
  const loose: Entry[] = [];
  const types: PublicType[] = [];
  for (const symbol of exportsOf(module)) {
    if (symbol.name === "types") types.push(...exportsOf(symbol).map((one) => typeOf(one, true)));
    else if (symbol.flags & ts.SymbolFlags.ValueModule) groups.push(groupOf(symbol));
    else if (symbol.flags & ts.SymbolFlags.Value) loose.push(entryOf(symbol, symbol.name));
    else types.push(typeOf(symbol, false));
  }
  const none: Group[] = loose.length ? [{ name: "", summary: "", parts: [], entries: byName(loose) }] : [];
  return {
    groups: [...none, ...byName(groups)],
    types: [...byName(types.filter(({ inner }) => !inner)), ...byName(types.filter(({ inner }) => inner))],
  };

  function exportsOf(symbol: ts.Symbol) {
    return checker
      .getExportsOfModule(symbol)
      .map((one) => (one.flags & ts.SymbolFlags.Alias ? checker.getAliasedSymbol(one) : one));
  }

  function groupOf(group: ts.Symbol): Group {
    const inner = exportsOf(group).filter((one) => one.flags & ts.SymbolFlags.ValueModule);
    return {
      name: group.name,
      summary: said(group).summary,
      parts: inner.map((one) => ({ name: `${group.name}.${one.name}`, summary: said(one).summary })),
      entries: entriesIn(group, `${group.name}.`),
    };
  }

  function entriesIn(group: ts.Symbol, before: string): Entry[] {
    return byName(
      exportsOf(group).flatMap((one) =>
        one.flags & ts.SymbolFlags.ValueModule
          ? entriesIn(one, `${before}${one.name}.`)
          : [entryOf(one, before + one.name)],
      ),
    );
  }

  function entryOf(symbol: ts.Symbol, name: string): Entry {
    const [declaration, second] = symbol.declarations ?? [];
    if (second) throw new Error(`${name} is declared twice: the reference shows one way to call a function`);
    const value = ts.isVariableDeclaration(declaration) ? declaration.type : undefined;
    const signature = ts.isFunctionDeclaration(declaration)
      ? declaration
      : value && ts.isFunctionTypeNode(value)
        ? value
        : undefined;
    const type = signature?.type ?? value;
    const list = [...(signature?.parameters ?? [])];
    const tags = ts.getJSDocTags(declaration).filter(ts.isJSDocParameterTag);
    const isNamed = (tag: ts.JSDocParameterTag) =>
      list.some((one) => one.name.getText() === tag.name.getText());
    const tagOf = (parameter: ts.ParameterDeclaration) =>
      ts.isIdentifier(parameter.name)
        ? tags.find((tag) => tag.name.getText() === parameter.name.getText())
        : tags.find((tag) => !isNamed(tag));
    return {
      name,
      kind: signature ? "function" : "value",
      ...said(symbol),
      parameters: list.map((parameter) => ({
        name: ts.isIdentifier(parameter.name)
          ? parameter.name.text
          : (tagOf(parameter)?.name.getText() ?? "options"),
        optional: Boolean(parameter.questionToken),
        type: (parameter.dotDotDotToken ? "..." : "") + textOf(parameter.type),
        text: wordsOf(tagOf(parameter)?.comment),
        fields: unnamedFieldsOf(parameter.type),
      })),
      type: textOf(type),
      fields: unnamedFieldsOf(type),
    };
  }

  function typeOf(symbol: ts.Symbol, inner: boolean): PublicType {
    const declaration = declarationOf(symbol);
    return {
      name: symbol.name,
      inner,
      summary: said(symbol).summary,
      code: textOf(declaration),
      fields: ts.isTypeAliasDeclaration(declaration)
        ? fieldsOf(declaration.type)
        : fieldsOf(declaration, checker.getDeclaredTypeOfSymbol(symbol)),
    };
  }

  /** Of an object that is declared here, also as part of another or several together; none of lists, words and the language's own. */
  function fieldsOf(place: ts.Node, type = checker.getTypeFromTypeNode(place as ts.TypeNode)): Field[] {
    const own = checker.getNonNullableType(type);
    if (!(own.flags & (ts.TypeFlags.Object | ts.TypeFlags.Intersection))) return [];
    if (own.getCallSignatures().length > 0 || checker.isArrayLikeType(own)) return [];
    return checker.getPropertiesOfType(own).flatMap((property) => {
      const declaration = property.declarations?.[0];
      if (!declaration || declaration.getSourceFile() !== source) return [];
      const given = ts.isPropertySignature(declaration) ? declaration.type : undefined;
      // what a type is read off may not be public
      const written = given && ts.isTypeQueryNode(given) ? undefined : given;
      return {
        name: property.name,
        optional: Boolean(property.flags & ts.SymbolFlags.Optional),
        type: written
          ? textOf(written)
          : checker.typeToString(checker.getTypeOfSymbolAtLocation(property, place)),
        text: ts.displayPartsToString(property.getDocumentationComment(checker)),
      };
    });
  }

  /** A type that a notebook can import has an entry of its own. */
  function unnamedFieldsOf(type: ts.TypeNode | undefined): Field[] {
    const named =
      !type || (ts.isTypeReferenceNode(type) && ts.isIdentifier(type.typeName) && !type.typeArguments);
    return named ? [] : fieldsOf(type);
  }

  function said(symbol: ts.Symbol): Said {
    const declaration = declarationOf(symbol);
    const tags = ts.getJSDocTags(declaration);
    const of = (tag: string) =>
      tags.filter(({ tagName }) => tagName.text === tag).map(({ comment }) => wordsOf(comment));
    return {
      summary: wordsOf(ts.getJSDocCommentsAndTags(declaration).filter(ts.isJSDoc).at(-1)?.comment),
      returns: of("returns")[0],
      throws: of("throws"),
      source: of("source")[0],
      examples: of("example"),
    };
  }
}

function declarationOf({ name, declarations = [] }: ts.Symbol): ts.Declaration {
  if (declarations.length > 0) return declarations[0];
  throw new Error(`${name} is declared nowhere`);
}

const byName = <T extends { readonly name: string }>(list: T[]) =>
  list.sort((a, b) => (a.name < b.name ? -1 : 1));

const wordsOf = (comment: ts.JSDoc["comment"]) =>
  (ts.getTextOfJSDocComment(comment) ?? "").replaceAll(/\{@link\w* ([^}]*)\}/g, "`$1`").trim();

/** As it is written; types that only others mention are called `types.Zone`, which no reader needs to see. */
const textOf = (node: ts.Node | undefined) => node?.getText().replaceAll(/\btypes\.(?=[A-Z])/g, "") ?? "";
