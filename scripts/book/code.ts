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
    `(?<keyword>\\b(?:${keywords.replaceAll(" ", "|")})\\b)`,
    `(?<literal>\\b(?:${literals.replaceAll(" ", "|")})\\b)`,
  ].join("|"),
  "gi",
);

export function colourCode(code: string): string {
  let html = "";
  let done = 0;
  for (const match of code.matchAll(pieces)) {
    const at = match.index ?? 0;
    const [kind] = Object.entries(match.groups ?? {}).find(([, text]) => text !== undefined) ?? [];
    html += `${escapeHtml(code.slice(done, at))}<span class="c-${kind}">${escapeHtml(match[0])}</span>`;
    done = at + match[0].length;
  }
  return html + escapeHtml(code.slice(done));
}
