/** A lesson's prose into HTML: Markdown with formulas typeset on the spot, so that the page needs nothing to do it. */
import katex from "katex";
import MarkdownIt from "markdown-it";

const markdown = new MarkdownIt({ html: true, linkify: false, typographer: false });
markdown.inline.ruler.before("escape", "formula", formulaInText);
markdown.block.ruler.before("fence", "formula", formulaAlone, { alt: ["paragraph", "blockquote", "list"] });
markdown.renderer.rules.formula = (tokens, i) =>
  katex
    .renderToString(tokens[i].content, {
      displayMode: tokens[i].block,
      throwOnError: true,
      strict: "error",
    })
    // What may scroll sideways on a phone must be within reach of the keyboard.
    .replace('<span class="katex-display">', '<span class="katex-display" tabindex="0">');
for (const kind of ["code_block", "fence"] as const) {
  const usual = markdown.renderer.rules[kind];
  markdown.renderer.rules[kind] = (...given) =>
    (usual?.(...given) ?? "").replace("<pre>", '<pre tabindex="0">');
}
markdown.renderer.rules.table_open = () =>
  '<div class="wide" role="group" aria-label="Table" tabindex="0"><table>\n';
markdown.renderer.rules.table_close = () => "</table></div>\n";

export interface Heading {
  readonly level: number;
  readonly text: string;
  readonly id: string;
}

/** A page in the making: its headings so far, which grow, and where a link of the notebook leads in the book. */
export interface Page {
  readonly headings: Heading[];
  readonly link: (target: string) => string;
}

/** @returns HTML */
export function renderMarkdown(source: string, { headings, link }: Page): string {
  const tokens = markdown.parse(source, {});
  tokens.forEach((token, i) => {
    if (token.type === "heading_open") {
      const text = plainText(tokens[i + 1]);
      const id = uniqueId(text, headings);
      headings.push({ level: Number(token.tag.slice(1)), text, id });
      token.attrSet("id", id);
    }
    for (const child of token.children ?? []) {
      const [attribute] = child.type === "link_open" ? ["href"] : child.type === "image" ? ["src"] : [];
      if (attribute) child.attrSet(attribute, link(String(child.attrGet(attribute) ?? "")));
    }
  });
  return markdown.renderer.render(tokens, markdown.options, {});
}

/**
 * @returns headings and the text between them as plain words, without the formulas that stand alone
 */
export function readMarkdown(source: string): { heading: boolean; text: string }[] {
  const tokens = markdown.parse(source, {});
  return tokens.flatMap((token, i) => {
    if (token.type === "fence") return [{ heading: false, text: token.content }];
    if (token.type !== "inline") return [];
    const heading = tokens[i - 1].type === "heading_open";
    return [{ heading, text: heading ? plainText(token) : words(token) }];
  });
}

const words = (inline: MarkdownIt.Token) =>
  (inline.children ?? [])
    .map(({ type, content }) => {
      if (type === "formula") return plainFormula(content);
      return type === "softbreak" || type === "hardbreak" ? " " : content;
    })
    .join("");

/** A formula within a line as one would type it: \\sqrt{1-\\alpha} is sqrt(1-alpha). */
const plainFormula = (latex: string) =>
  latex
    .replace(/\\(?:text|mathrm|left|right|[,;! ])|\\/g, "")
    .replace(/\{(\w*)\}/g, "$1")
    .replaceAll("{", "(")
    .replaceAll("}", ")");

const plainText = (inline: MarkdownIt.Token) =>
  (inline.children ?? [])
    .map((child) => (["text", "code_inline", "formula"].includes(child.type) ? child.content : ""))
    .join("");

function uniqueId(text: string, taken: readonly Heading[]) {
  const plain =
    text
      .toLowerCase()
      .replace(/[^\p{L}\p{N}]+/gu, "-")
      .replace(/^-|-$/g, "") || "part";
  for (let n = 1; ; n++) {
    const id = n === 1 ? plain : `${plain}-${n}`;
    if (!taken.some((heading) => heading.id === id)) return id;
  }
}

/**
 * $…$ within a line: as in a notebook, a dollar before a digit or space that closes nothing stays a dollar.
 *
 * @param silent  only asks whether one starts here
 */
function formulaInText(state: MarkdownIt.StateInline, silent: boolean): boolean {
  const rest = state.src.slice(state.pos);
  const found = /^\$\$([^$]+)\$\$/.exec(rest) ?? /^\$(?=\S)((?:[^$\\`]|\\.)+)(?<=\S)\$(?!\d)/.exec(rest);
  if (!found) return false;
  if (!silent) {
    const token = state.push("formula", "math", 0);
    token.content = found[1];
    token.block = found[0].startsWith("$$");
  }
  state.pos += found[0].length;
  return true;
}

/**
 * $$ … $$ on lines of its own.
 *
 * @param start  line it may start at
 * @param end  line after the last one
 * @param silent  only asks whether one starts here
 */
function formulaAlone(state: MarkdownIt.StateBlock, start: number, end: number, silent: boolean): boolean {
  const line = (n: number) => state.src.slice(state.bMarks[n] + state.tShift[n], state.eMarks[n]);
  if (!line(start).startsWith("$$")) return false;
  let last = start;
  let text = line(start).slice(2);
  while (!text.trimEnd().endsWith("$$")) {
    if (++last >= end) return false;
    text += `\n${line(last)}`;
  }
  if (silent) return true;
  const token = state.push("formula", "math", 0);
  token.block = true;
  token.content = text.trimEnd().slice(0, -2).trim();
  token.map = [start, last + 1];
  state.line = last + 1;
  return true;
}
