/** TypeScript coloured on the spot. */
import { escapeHtml } from "../../lib/text/escape";

const keywords =
  "as async await break case catch class const continue default do else export extends finally for from function if implements import in instanceof interface let new of return satisfies switch throw try type typeof var void while yield";
const literals = "true false null undefined";
const pieces = new RegExp(
  [
    "(?<comment>//.*|/\\*[^]*?\\*/)",
    "(?<string>\"(?:[^\"\\\\\\n]|\\\\.)*\"|'(?:[^'\\\\\\n]|\\\\.)*'|`(?:[^`\\\\]|\\\\[^])*`)",
    "(?<number>\\b(?:0x[\\da-f_]+|\\d[\\d_]*(?:\\.\\d+)?(?:e[+-]?\\d+)?)\\b)",
    // a key may be called as a keyword is
    `(?<keyword>\\b(?:${keywords.replaceAll(" ", "|")})\\b(?!\\??:))`,
    `(?<literal>\\b(?:${literals.replaceAll(" ", "|")})\\b)`,
    "(?<name>(?<!(?<!\\.\\.)\\.|[\\w$])[a-z_$][\\w$]*(?:\\.[a-z_$][\\w$]*)*)",
  ].join("|"),
  "gi",
);

/**
 * Where a name leads.
 *
 * @param name  with what stands before it: `decide.offset`
 * @param after  the code behind it
 * @returns how much of the name is the link, and its address; nothing where it leads nowhere
 */
export type NameLink = (
  name: string,
  after: string,
) => { readonly name: string; readonly href: string } | undefined;

export function colourCode(code: string, link: NameLink = () => undefined): string {
  let html = "";
  let done = 0;
  for (const match of code.matchAll(pieces)) {
    const at = match.index ?? 0;
    const [kind] = Object.entries(match.groups ?? {}).find(([, text]) => text !== undefined) ?? [];
    html += escapeHtml(code.slice(done, at));
    done = at + match[0].length;
    const found = kind === "name" ? link(match[0], code.slice(done)) : undefined;
    if (found) {
      html += `<a class="public" href="${escapeHtml(found.href)}">${escapeHtml(found.name)}</a>`;
      done = at + found.name.length;
    } else if (kind === "name") html += escapeHtml(match[0]);
    else html += `<span class="c-${kind}">${escapeHtml(match[0])}</span>`;
  }
  return html + escapeHtml(code.slice(done));
}
