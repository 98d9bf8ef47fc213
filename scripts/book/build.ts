/** The executed lessons into a folder of pages that opens from disk, without a server and without a network. */
import { cpSync, mkdirSync, readFileSync, writeFileSync } from "node:fs";
import path from "node:path";
import { buildSync } from "esbuild";
import { buildKernel } from "../browser-kernel/build";
import { dist } from "../build/state.mjs";
import type { Notebook } from "../notebook/format";
import { remove } from "../setup/patient-files.cjs";
import { inRoot } from "../setup/places.mjs";
import { SetupError } from "../setup/setup-error.mjs";
import { filesToHandOut } from "../work/lessons.mjs";
import type { NameLink } from "./code";
import { type Lesson, renderLesson } from "./lesson";
import { filesBelow, offlineScript } from "./offline";
import { type Entry, renderContents, renderPage } from "./page";
import { type Passage, passagesOf } from "./passages";
import { addressesOf, linkFirstUses } from "./reference/addresses";
import { readDeclarations } from "./reference/declarations";
import { referencePages } from "./reference/pages";
import { teachingFiles, withSheets } from "./teaching/pages";
import { sheetOf } from "./teaching/sheet";

const words =
  "The course as a book that runs. Its figures can be moved, its sliders work, and each cell of code can be changed and run here, in the browser: your work stays on this computer.";

interface Page {
  readonly file: string;
  readonly lesson: Lesson & { readonly passages: readonly Passage[] };
  readonly notebook?: Notebook;
}

/**
 * @param executed  folder of executed notebooks
 * @param book  folder to write; what was there is replaced
 * @returns lessons in it
 */
export function buildBook(executed: string, book: string): number {
  const files = filesToHandOut(executed);
  const library = readDeclarations(path.join(dist, "index.d.ts"));
  const addresses = addressesOf(library);
  const lessons = files.filter(isPage).map((file) => ({
    file: pageOf(file),
    lesson: readLesson(executed, file, linkFirstUses(library, addresses)),
    notebook: file.endsWith(".ipynb") ? readNotebook(executed, file) : undefined,
  }));
  const reference = referencePages(library);
  const sheets = lessons.flatMap(({ file, notebook }) =>
    notebook ? [{ file: `sheet-${file}`, ...sheetOf(notebook) }] : [],
  );
  const teaching = readTeaching(sheets);
  const contents = [
    ...lessons.map(titled),
    withPages(reference.map(({ file, label }) => ({ file, title: label }))),
    withPages(teaching.map(titled)),
  ];
  const pages: readonly Page[] = [...lessons, ...reference, ...teaching];

  remove(book);
  mkdirSync(path.join(book, "assets"), { recursive: true });
  copyAssets(book);
  writePassages(
    book,
    pages.flatMap(({ file, lesson: { title, passages } }) =>
      passages.map((passage) => ({ ...passage, lesson: title, file })),
    ),
  );
  for (const file of files.filter((name) => !isPage(name)))
    cpSync(path.join(executed, file), path.join(book, file));
  for (const { file, lesson, notebook } of pages)
    writeFileSync(path.join(book, file), renderPage({ lesson, file, contents, notebook }));
  for (const { file, html } of sheets) writeFileSync(path.join(book, file), html);
  writeFileSync(path.join(book, "index.html"), renderContents({ title: "Evenground", words, contents }));
  return files.filter((file) => file.endsWith(".ipynb")).length;
}

const titled = ({ file, lesson }: Page) => ({ file, title: lesson.title });

/** The first of some pages, with the others below it. */
const withPages = ([first, ...pages]: readonly Entry[]): Entry => ({ ...first, pages });

/** Whoever searches a lesson isn't to find what its guide gives away. */
const readTeaching = (sheets: readonly { readonly file: string; readonly title: string }[]): Page[] =>
  teachingFiles().map((file) => {
    const lesson = readLesson(inRoot("notebooks"), file);
    const whole = file.endsWith("/sheets.md") ? withSheets(lesson, sheets) : lesson;
    return { file: pageOf(file), lesson: { ...whole, passages: [] } };
  });

function readLesson(folder: string, file: string, nameLink?: NameLink) {
  const notebook = readNotebook(folder, file);
  const link = (target: string) => {
    if (/^[a-z]+:|^#/i.test(target)) return target;
    const [, name, rest] = /^([^?#]*)(.*)$/.exec(target) as RegExpExecArray;
    const there = path.posix.normalize(
      path.posix.join(path.dirname(file).split(path.sep).join("/"), decodeURI(name)),
    );
    return encodeURI(isPage(there) ? pageOf(there) : there) + rest;
  };
  try {
    const lesson = renderLesson(notebook, link, nameLink);
    return { ...lesson, passages: passagesOf(notebook, lesson.headings) };
  } catch (error) {
    throw new SetupError(`${file}: ${(error as Error).message}`);
  }
}

function readNotebook(folder: string, file: string): Notebook {
  const text = readFileSync(path.join(folder, file), "utf8");
  return file.endsWith(".md")
    ? { cells: [{ cell_type: "markdown", source: text, outputs: [] }] }
    : JSON.parse(text);
}

/**
 * The kernel beside the pages, and what keeps all of it in the browser for a visit without a network.
 *
 * @param book  folder of a book that is built
 * @returns names of the kernel's parts
 */
export async function makeRunnable(book: string): Promise<string[]> {
  const parts = await buildKernel(path.join(book, "kernel"));
  // A report that lesson 12 wrote is large, and the reader's own run writes it again.
  const files = filesBelow(book).filter((file) => !file.startsWith("results/"));
  writeFileSync(path.join(book, "offline.js"), offlineScript(book, files, 3000));
  return parts;
}

/** Notebooks, and texts that go with them. */
const isPage = (file: string) => /\.(ipynb|md)$/.test(file);

/** All pages lie side by side, so that each finds assets/ beside it. */
const pageOf = (file: string) =>
  file
    .replace(/^mentors\/README/, "teaching")
    .replace(/^mentors\//, "teaching-")
    .replace(/\.(ipynb|md)$/, ".html")
    .replaceAll(/[/\\]/g, " ");

/**
 * The text to search as a script: a page that was opened from disk may load one, but may read no other file.
 */
function writePassages(book: string, passages: readonly object[]) {
  writeFileSync(
    path.join(book, "assets", "passages.js"),
    `evengroundPassages(${JSON.stringify(passages)});\n`,
  );
}

function copyAssets(book: string) {
  const assets = path.join(book, "assets");
  for (const sheet of ["book.css", "teaching/sheet.css"])
    cpSync(inRoot("scripts", "book", sheet), path.join(assets, path.basename(sheet)));
  buildSync({
    entryPoints: ["theme.js", "present.js", "search.js", "run.ts", "run/editor.ts"].map((name) =>
      inRoot("scripts", "book", "browser", name),
    ),
    outdir: assets,
    entryNames: "[name]",
    bundle: true,
    format: "iife",
    target: "es2022",
    minify: true,
    logLevel: "error",
  });
  cpSync(path.join(dist, "assets"), assets, { recursive: true });
  const katex = inRoot("node_modules", "katex", "dist");
  cpSync(path.join(katex, "katex.min.css"), path.join(assets, "formulas", "katex.min.css"));
  cpSync(path.join(katex, "fonts"), path.join(assets, "formulas", "fonts"), {
    recursive: true,
    // every browser of today reads woff2; the older kinds of the same letters only weigh
    filter: (file) => !/\.(ttf|woff)$/.test(file),
  });
}
