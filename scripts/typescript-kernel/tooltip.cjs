// @ts-check
/** What a tooltip says: of the name under the cursor, or within the brackets of a call of the function and its parameter there. */
const { cellIn } = require("./cursor.cjs");

/** Kinds of names that a reader wants to know about even within the brackets of a call. */
const tellsItself =
  /^(function|local function|method|module|class|interface|type|alias|enum|property|getter)$/;

const neverCancelled = { isCancellationRequested: () => false, throwIfCancellationRequested() {} };

/**
 * @typedef {{ text: string, kind?: string }} Part
 * @typedef {{ name: string, text?: Part[] }} Tag
 * @typedef {{ signatures: string[], here?: { name: string, number: number, of: number }, about: string, tags: Tag[] }} Told
 *
 * @param {any} ts  the compiler
 * @param {any} program  the last that the kernel made
 * @param {string} code
 * @param {number} cursor  in units of the code
 * @returns {{ "text/plain": string, "text/markdown": string } | undefined} nothing where nothing is to be told
 */
function tooltip(ts, program, code, cursor) {
  const { file, before } = cellIn(program, code);
  const at = before + cursor;
  const afterName = /[\w$]/.test(file.text[at - 1] ?? "") && !/[\w$]/.test(file.text[at] ?? "");
  const beforeBracket = afterName && file.text[at] === "(";
  const name = ofName(ts, program, file, beforeBracket ? at - 1 : at);
  const call = beforeBracket ? undefined : ofCall(ts, program, file, at);
  const told =
    name && (tellsItself.test(name.kind) || !call)
      ? name
      : (call ?? (afterName ? ofName(ts, program, file, at - 1) : undefined));
  return told && { "text/plain": plain(told), "text/markdown": markdown(told) };
}

/**
 * @param {any} ts
 * @param {any} program
 * @param {any} file
 * @param {number} at
 * @returns {Told & { kind: string } | undefined}
 */
function ofName(ts, program, file, at) {
  const checker = program.getTypeChecker();
  const info = ts.getQuickInfoAtPosition(file, checker, neverCancelled, at);
  if (!info) return undefined;
  const own = joined(info.displayParts)
    .replace(/^(\(alias\) )?(function )?/, "")
    .replace(/\n(import|export) .*$/, "");
  const all = overloads(ts, checker, ts.getTouchingPropertyName(file, at));
  return {
    kind: info.kind,
    signatures: all.length > 1 ? all : [own],
    about: joined(info.documentation),
    tags: info.tags ?? [],
  };
}

/**
 * @param {any} ts
 * @param {any} checker
 * @param {any} node
 * @returns {string[]}
 */
function overloads(ts, checker, node) {
  let symbol = checker.getSymbolAtLocation(node);
  if (symbol && symbol.flags & ts.SymbolFlags.Alias) symbol = checker.getAliasedSymbol(symbol);
  if (!symbol || !(symbol.flags & (ts.SymbolFlags.Function | ts.SymbolFlags.Method))) return [];
  const signatures = checker.getTypeOfSymbolAtLocation(symbol, node).getCallSignatures();
  return signatures.map((/** @type {any} */ one) => `${symbol.name}${checker.signatureToString(one, node)}`);
}

/**
 * @param {any} ts
 * @param {any} program
 * @param {any} file
 * @param {number} at
 * @returns {Told | undefined}
 */
function ofCall(ts, program, file, at) {
  const help = ts.SignatureHelp.getSignatureHelpItems(program, file, at, undefined, neverCancelled);
  if (!help) return undefined;
  const chosen = help.items[help.selectedItemIndex];
  const others = help.items.filter((/** @type {any} */ one) => one !== chosen);
  const count = chosen.parameters.length;
  const index = chosen.isVariadic ? Math.min(help.argumentIndex, count - 1) : help.argumentIndex;
  const parameter = chosen.parameters[index];
  return {
    signatures: [chosen, ...others].map(signature),
    here: parameter && { name: parameter.name, number: index + 1, of: count },
    about: joined(chosen.documentation),
    tags: chosen.tags ?? [],
  };
}

/** @param {any} item */
const signature = ({ prefixDisplayParts, parameters, separatorDisplayParts, suffixDisplayParts }) =>
  joined(prefixDisplayParts) +
  parameters.map((/** @type {any} */ one) => joined(one.displayParts)).join(joined(separatorDisplayParts)) +
  joined(suffixDisplayParts);

/** @param {Part[]} [parts]  what a link is made of beside its name is left out */
const joined = (parts = []) =>
  parts
    .filter(({ kind }) => kind !== "link")
    .map(({ text }) => text)
    .join("");

/** @param {Told} told */
function sections({ here, tags }) {
  const parameters = tags
    .filter(({ name }) => name === "param")
    .map(({ text = [] }) => ({
      name: text.find(({ kind }) => kind === "parameterName")?.text ?? "",
      text: joined(text.filter(({ kind }) => kind !== "parameterName")).trim(),
    }));
  const others = tags
    .filter(({ name }) => name !== "param")
    .map(({ name, text }) => ({ name: name[0].toUpperCase() + name.slice(1), text: joined(text).trim() }));
  const current = here && {
    ...here,
    text: parameters.find(({ name }) => name === here.name)?.text ?? "",
  };
  return { current, parameters, others };
}

/** @param {Told} told */
function plain(told) {
  const { current, parameters, others } = sections(told);
  const widest = Math.max(0, ...parameters.map(({ name }) => name.length));
  const aligned = (/** @type {string} */ text) => text.replace(/\n\s*/g, `\n${" ".repeat(widest + 4)}`);
  return [
    told.signatures.join("\n"),
    current && ended(`Here: ${current.name} (parameter ${current.number} of ${current.of})`, current.text),
    told.about,
    parameters.length &&
      [
        "Parameters",
        ...parameters.map(({ name, text }) => `  ${name.padEnd(widest)}  ${aligned(text)}`),
      ].join("\n"),
    others.map(({ name, text }) => `${name}: ${text}`).join("\n"),
  ]
    .filter(Boolean)
    .join("\n\n");
}

/** @param {Told} told */
function markdown(told) {
  const { current, parameters, others } = sections(told);
  const code = (/** @type {string} */ text) => `\`\`\`ts\n${text}\n\`\`\``;
  return [
    code(told.signatures.join("\n")),
    current && ended(`**\`${current.name}\`** (parameter ${current.number} of ${current.of})`, current.text),
    told.about,
    parameters.map(({ name, text }) => `- ${ended(`\`${name}\``, text)}`).join("\n"),
    ...others.map(({ name, text }) =>
      name === "Example" && !text.includes("```") ? `**Example**\n\n${code(text)}` : `**${name}** ${text}`,
    ),
  ]
    .filter(Boolean)
    .join("\n\n");
}

/**
 * @param {string} head
 * @param {string} text
 */
const ended = (head, text) => (text ? `${head}: ${text}` : head);

module.exports = { tooltip };
