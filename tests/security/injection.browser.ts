/** Text from files stays text: in the report, under a notebook's cell and in the book, in a browser that would run it. */
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import path from "node:path";
import { pathToFileURL } from "node:url";
import type { Browser, BrowserContext } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { seatsFigure } from "../../lib/lesson/figures/seats";
import { figureHtml } from "../../lib/lesson/output/figure-html";
import { table } from "../../lib/lesson/output/table";
import { panel } from "../../lib/lesson/panels";
import { clientPage } from "../../lib/lesson/report/client";
import { mixEngineerPage } from "../../lib/lesson/report/mix-engineer";
import { pageHtml } from "../../lib/lesson/report/page";
import { technicianPage } from "../../lib/lesson/report/technician";
import { readShow } from "../../lib/study/read-show";
import { studyResult } from "../../lib/study/result";
import { runStudy } from "../../lib/study/study";
import { renderLesson } from "../../scripts/book/lesson";
import { renderPage } from "../../scripts/book/page";
import type { Cell } from "../../scripts/notebook/format";
import { drawAll, openBrowser } from "../browser/chromium";
import { injections } from "./injections";
import { smallShow, writeSmallShow } from "./small-show";

const runtime = readFileSync(path.join(__dirname, "..", "..", "dist", "assets", "runtime.js"), "utf8");
const safeRuntime = runtime.replaceAll("</script", "<\\/script");
const scratch = mkdtempSync(path.join(tmpdir(), "evenground-pages-"));
/** Words that mean something to the language itself: tried bare, where a name is no key of its own. */
const bare = ["__proto__", "constructor"];
const names = [1, 4, 6, 7, 12, 13];

let browser: Browser;
let context: BrowserContext;
beforeAll(async () => {
  browser = await openBrowser();
  context = await browser.newContext({ viewport: { width: 1000, height: 900 } });
  await context.addInitScript(
    "window.harmed = []; window.harm = (x) => { window.harmed.push(x ?? 'ran'); };",
  );
});
afterAll(async () => {
  await browser?.close();
  rmSync(scratch, { recursive: true, force: true });
});

/** A study of a show in which every free text is the injection. */
function studyOf(injection: string) {
  const short = injection.replace(/[\u2028\u2029]/g, " ").slice(0, 76);
  const word = (n: number) => (bare.includes(injection) && names.includes(n) ? injection : `${short} ${n}`);
  const folder = writeSmallShow(smallShow(word, injection), injection);
  try {
    const study = runStudy(readShow(folder), { seatCount: 30 });
    return {
      study,
      result: studyResult(study, { at: "2026-01-01T00:00:00Z", versions: { [injection]: injection } }),
    };
  } finally {
    rmSync(path.dirname(folder), { recursive: true, force: true });
  }
}

/** What a page did that no page of ours does by itself, and what it shows. */
async function visit(name: string, html: string) {
  const file = path.join(scratch, `${name}.html`);
  writeFileSync(file, html);
  const page = await context.newPage();
  const outward: string[] = [];
  const dialogs: string[] = [];
  page.on("request", (request) => {
    if (request.url() !== pathToFileURL(file).href && !/^(data|blob):/.test(request.url()))
      outward.push(request.url());
  });
  page.on("dialog", (dialog) => {
    dialogs.push(dialog.message());
    void dialog.dismiss();
  });
  await page.goto(pathToFileURL(file).href);
  const drawn = await drawAll(page);
  const found = await page.evaluate(() => {
    const strange =
      "iframe,object,embed,form,video,audio,base,math,meta[http-equiv],img:not([src^='data:']),a[href^='javascript:' i]";
    const handlers = Array.from(document.querySelectorAll("*")).flatMap((element) =>
      Array.from(element.attributes, (a) => a.name).filter((attribute) => attribute.startsWith("on")),
    );
    return {
      harmed: (window as unknown as { harmed: string[] }).harmed,
      elements: Array.from(document.querySelectorAll(strange), (element) => element.outerHTML.slice(0, 200)),
      handlers,
      // As it is seen: what a style hides or a script holds is no text to a reader.
      // biome-ignore lint/performance/useDomNodeTextContent: the difference is what is tested
      text: document.body.innerText,
      polluted: Object.keys(Object.prototype),
    };
  });
  await page.close();
  const { text, ...rest } = found;
  return { drawn, text, deeds: { ...rest, outward, dialogs } };
}

const nothing = { harmed: [], elements: [], handlers: [], polluted: [], outward: [], dialogs: [] };
const figuresIn = (html: string) => html.split('<figure class="evenground"').length - 1;

/** As letters that a browser neither folds nor breaks. */
const plain = (text: string) => text.replace(/\s/g, "");

// Many whole pages one after another in one file: a browser reads them as one body, and reads the figures' script, which
// takes most of a visit, once. Did a text of one end its element early, or open one, then what follows would go missing.
describe("text from a show's files", () => {
  const many = 8;
  const groups = Array.from({ length: Math.ceil(injections.length / many) }, (_, g) => g * many);
  it.each(groups)(
    "is only text in the three reports and under a cell: injections from number %i on",
    async (from) => {
      const shows = injections.slice(from, from + many).map(pagesOfShow);
      const html = [`<!doctype html><script>${safeRuntime}</script>`, ...shows.flat(), "<p>The end</p>"].join(
        "\n",
      );
      const { deeds, text, drawn } = await visit(`shows-${from}`, html);
      expect(deeds).toEqual(nothing);
      expect(text).not.toMatch(/\bNaN\b|undefined|\[object/);
      for (const show of shows) expect(figuresIn(show.join("\n"))).toBeGreaterThanOrEqual(10);
      expect(drawn).toBe(figuresIn(html));
      expect(text.trimEnd().endsWith("The end")).toBe(true);
    },
  );

  // One whole report as it is handed over, its script inside.
  it("is only text in a report with its script", async () => {
    const { study, result } = studyOf("</script><script>harm()</script>");
    const { deeds, drawn } = await visit("report", pageHtml(technicianPage(study, result), runtime));
    expect(deeds).toEqual(nothing);
    expect(drawn).toBeGreaterThan(5);
  });
});

/** The three reports of a show and what may stand under a cell, all that is free in it being the injection. */
function pagesOfShow(injection: string): string[] {
  const { study, result } = studyOf(injection);
  const { survey, balance } = study.model;
  const rows = survey.positions.slice(0, 3).map((p) => ({ position: p.id, [injection]: p.area }));
  const deviations = balance.positions.map((p) => p.deviation_db);
  return [
    ...[technicianPage, mixEngineerPage, clientPage].map((page) => pageHtml(page(study, result))),
    table(rows, { caption: injection }).html,
    figureHtml(seatsFigure(study.show.venue, survey.positions, deviations, { title: injection })),
    panel("sub level", { survey, venue: study.show.venue }).html,
  ];
}

describe("what a cell said", () => {
  it("is only text in the book, whichever of the injections it is", async () => {
    const html = injections.map(bookPage).join("\n");
    const { deeds, text } = await visit("book", html);
    expect(deeds).toEqual(nothing);
    const [, ...pages] = plain(text).split(/Lesson\d+begins/);
    expect(pages).toHaveLength(injections.length);
    pages.forEach((page, i) => {
      // In the code's remark, in every kind of output, in the table's three places, and as the next lesson.
      const times = page.split(plain(injections[i])).length - 1;
      expect(times, injections[i]).toBeGreaterThanOrEqual(11);
    });
  });
});

/** A page of the book that says one thing wherever a notebook can say something. */
function bookPage(said: string, i: number): string {
  const cells: Cell[] = [
    { cell_type: "markdown", source: `# Lesson ${i} begins`, outputs: [] },
    {
      cell_type: "code",
      source: `console.log(${JSON.stringify(said)}) // ${said}`,
      outputs: [
        { output_type: "stream", name: "stdout", text: said },
        { output_type: "stream", name: "stderr", text: [said, said] },
        { output_type: "error", ename: said, evalue: said, traceback: [said] },
        { output_type: "execute_result", data: { "text/plain": said } },
        {
          output_type: "display_data",
          data: { "text/html": table([{ [said]: said }], { caption: said }).html },
        },
      ],
    },
  ];
  const lesson = renderLesson({ cells }, (target) => target);
  const contents = [
    { title: said, file: "lesson.html" },
    { title: said, file: "next.html" },
  ];
  // The page's own style and scripts lie beside a real book; they are not what is tested here. Its policy would stop what it should not
  // have to: without it nothing may happen either.
  return renderPage({ lesson: { ...lesson, title: said }, file: "lesson.html", contents })
    .replace(/<(link rel="stylesheet"|script (?:defer )?src)[^>]*>(<\/script>)?/g, "")
    .replace(/<meta http-equiv="Content-Security-Policy"[^>]*>/, "");
}
