/** The reference's pages: one that says how to read them, one for each group, two of types. */
import { readFileSync } from "node:fs";
import { escapeHtml } from "../../../lib/text/escape";
import { inRoot } from "../../setup/places.mjs";
import { colourCode, type NameLink } from "../code";
import type { Lesson } from "../lesson";
import { type Heading, renderMarkdown } from "../markdown";
import type { Passage } from "../passages";
import { addressesOf, firstFile, groupFile, linkAll, typesFile } from "./addresses";
import type { Entry, Field, Group, Parameter, PublicType, Reference } from "./declarations";
import { shortened, signatureOf } from "./signature";

export interface ReferencePage {
  readonly file: string;
  /** In the list of pages below "Reference". */
  readonly label: string;
  readonly lesson: Lesson & { readonly passages: readonly Passage[] };
}

/** @returns the first page before the others */
export function referencePages(reference: Reference): ReferencePage[] {
  const addresses = addressesOf(reference);
  return [firstPage(), ...reference.groups.map(groupPage), typesPage(false), typesPage(true)];

  function firstPage(): ReferencePage {
    const headings: Heading[] = [];
    const text = readFileSync(inRoot("scripts", "book", "reference", "first-page.md"), "utf8");
    const rows = [
      ...reference.groups.map((group) => [groupFile(group), labelOf(group), summaryOf(group)]),
      [typesFile(false), "types", typesSummary(false)],
      [typesFile(true), "types within types", typesSummary(true)],
    ].map(([file, label, summary]) => `| [${label}](${file}) | ${summary} |`);
    const prose = renderMarkdown(`${text}\n| group | what it is for |\n| --- | --- |\n${rows.join("\n")}\n`, {
      headings,
      link: (target) => target,
    });
    const passages = headings.map(({ id, text: part }) => ({ part, id, text: "", code: "" }));
    return {
      file: firstFile,
      label: "Reference",
      lesson: { title: "Reference", headings, html: section(linkCode(prose)), passages },
    };
  }

  function groupPage(group: Group): ReferencePage {
    const start = group.name ? `${group.name}.` : "";
    const parts = group.parts.length ? group.parts : [{ name: group.name, summary: "" }];
    const list = parts.map(({ name, summary }) => {
      const before = name && `${name}.`;
      const rows = group.entries
        .filter((entry) => entry.name.startsWith(before))
        .map((entry) => [
          `<a href="#${entry.name}"><code>${breakable(entry.name.slice(before.length))}</code></a>`,
          inline(firstSentence(entry)),
        ]);
      const head = summary ? `<h2 id="${name}">${name}</h2>\n${prose(summary)}` : "";
      return head + table("", rows, "index");
    });
    return page({
      file: groupFile(group),
      label: labelOf(group),
      start,
      weight: 0.6,
      before: `${prose(summaryOf(group))}\n${list.join("\n")}`,
      entries: group.entries.map((entry) => ({
        name: entry.name,
        html: entryHtml(entry),
        text: wordsOf(entry),
        code: [signatureOf(entry), ...entry.examples].join("\n"),
      })),
    });
  }

  function typesPage(inner: boolean): ReferencePage {
    return page({
      file: typesFile(inner),
      label: inner ? "types within types" : "types",
      start: "",
      // of types there are more than of all else
      weight: 0.2,
      before: prose(typesSummary(inner)),
      entries: reference.types
        .filter((type) => type.inner === inner)
        .map((type) => ({
          name: type.name,
          html: typeHtml(type),
          text: [type.summary, ...type.fields.map(({ text }) => text)].join(" "),
          code: type.code,
        })),
    });
  }

  function page({
    file,
    label,
    start,
    weight,
    before,
    entries,
  }: {
    file: string;
    label: string;
    /** What the names in the list of contents leave out. */
    start: string;
    weight: number;
    before: string;
    entries: readonly { name: string; html: string; text: string; code: string }[];
  }): ReferencePage {
    const title = `Reference: ${label}`;
    const headings = [
      { level: 1, text: title, id: "reference" },
      ...entries.map(({ name }) => ({ level: 2, text: name.slice(start.length), id: name })),
    ];
    const html = [
      section(`<h1 id="reference">${escapeHtml(title)}</h1>\n${before}`),
      ...entries.map((entry) =>
        section(`<h2 id="${entry.name}">${entry.name}</h2>\n${entry.html}`, " entry"),
      ),
    ].join("\n");
    const passages = entries.map(({ name, text, code }) => ({ part: name, id: name, text, code, weight }));
    return { file, label, lesson: { title, headings, html, passages } };
  }

  function entryHtml(entry: Entry): string {
    const { parameters, returns, throws, source, examples, fields } = entry;
    const tables = parameters
      .filter((one) => one.fields.length > 0)
      .map((one) => table(`Fields of <code>${one.name}</code>`, one.fields.map(row)));
    return [
      code(signatureOf(entry), entry.name),
      prose(entry.summary),
      parameters.length ? table("Parameters", parameters.map(row)) : "",
      ...tables,
      returns ? labelled("Returns", returns) : "",
      fields.some(({ text }) => text) ? table("Fields of what it returns", fields.map(row)) : "",
      ...throws.map((text) => labelled("Throws", text)),
      source ? labelled("Source", source) : "",
      ...examples.map((example) => `<p class="label">Example</p>\n${code(example, entry.name)}`),
    ]
      .filter(Boolean)
      .join("\n");
  }

  function typeHtml(type: PublicType): string {
    return type.fields.length && !/^type .*[|&]/.test(type.code)
      ? [prose(type.summary), table("Fields", type.fields.map(row))].join("\n")
      : [prose(type.summary), code(shortened(type.code), type.name)].join("\n");
  }

  function row({ name, optional, type, text, fields = [] }: Field & Partial<Parameter>): [string, string] {
    const meaning = text ? prose(text) : "";
    const shown = colourCode(shortened(type), linkAll(addresses));
    return [
      `<code>${breakable(name)}${optional ? "?" : ""}</code>`,
      meaning + (fields.length ? "" : `<code class="type">${shown}</code>`),
    ];
  }

  function table(caption: string, rows: readonly (readonly string[])[], kind = "fields"): string {
    const body = rows.map(([head, ...cells]) => {
      const rest = cells.map((cell) => `<td>${cell}</td>`).join("");
      return `<tr><th scope="row">${head}</th>${rest}</tr>`;
    });
    const title = caption ? `<caption>${caption}</caption>\n` : "";
    return `<table class="${kind}">\n${title}${body.join("\n")}\n</table>`;
  }

  /** @param own  name that is explained here and leads nowhere */
  function code(text: string, own: string): string {
    const link: NameLink = (name, after) => {
      const found = linkAll(addresses)(name, after);
      return found?.name === own ? undefined : found;
    };
    return `<pre class="code" tabindex="0"><code>${colourCode(text, link)}</code></pre>`;
  }

  function prose(text: string): string {
    return linkCode(renderMarkdown(text, { headings: [], link: (target) => target }));
  }

  /** Without the paragraph around it. */
  function inline(text: string): string {
    return prose(text)
      .trim()
      .replace(/^<p>|<\/p>$/g, "");
  }

  function labelled(label: string, text: string): string {
    return prose(`**${label}** ${text}`);
  }

  /** Names between backticks lead to their entries. */
  function linkCode(html: string): string {
    return html.replace(/<code>([\w.]+)<\/code>/g, (whole, name) =>
      addresses.has(name) ? `<a href="${addresses.get(name)}">${whole}</a>` : whole,
    );
  }
}

const section = (html: string, kind = "") => `<section class="prose${kind}">\n${html}\n</section>`;

/** On a phone a name breaks where a word of it begins. */
const breakable = (name: string) => name.replaceAll(/(?<=[a-z])(?=[A-Z])|(?<=_)/g, "<wbr>");

const labelOf = ({ name, entries }: Group) => name || entries.map((entry) => entry.name).join(", ");

const summaryOf = ({ summary }: Group) =>
  summary || "Figures, panels, sounds and data frames under a cell: what stands in no group.";

const typesSummary = (inner: boolean) =>
  inner
    ? "Types that only other types mention; a notebook that needs one imports `types`."
    : "What goes from one function to the next, and what each function returns.";

const firstSentence = ({ summary }: Entry) =>
  /^[\s\S]*?[.:](?=\s|$)/.exec(summary)?.[0].replace(/:$/, ".") ?? summary;

const wordsOf = ({ summary, parameters, fields, returns = "", throws, source = "" }: Entry) =>
  [
    summary,
    ...parameters.flatMap((one) => [one.text, ...one.fields.map(({ text }) => text)]),
    returns,
    ...fields.map(({ text }) => text),
    ...throws,
    source,
  ]
    .filter(Boolean)
    .join(" ")
    .replaceAll("`", "");
