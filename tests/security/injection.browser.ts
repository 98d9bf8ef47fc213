/** Text from files stays text: in the report, under a notebook's cell and in the book, in a browser that would run it. */
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import path from "node:path";
import { pathToFileURL } from "node:url";
import type { Browser, BrowserContext } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { figureHtml } from "../../lib/lesson/figureHtml";
import { seatsFigure } from "../../lib/lesson/figures/seats";
import { panel } from "../../lib/lesson/panels";
import { clientPage, mixEngineerPage, pageHtml, technicianPage } from "../../lib/lesson/report";
import { table } from "../../lib/lesson/table";
import { readShow, runStudy, studyResult } from "../../lib/study";
// @ts-expect-error  plain JavaScript, as it runs before anything is built
import { renderLesson } from "../../scripts/book/lesson.mjs";
// @ts-expect-error  as above
import { renderPage } from "../../scripts/book/page.mjs";
import { drawAll, openBrowser } from "../browser/chromium";
import { injections } from "./injections";
import { smallShow, writeSmallShow } from "./small-show";

const runtime = readFileSync(path.join(__dirname, "..", "..", "dist", "assets", "runtime.js"), "utf8");
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

/** What a page did that no page of ours does by itself. */
async function misdeeds(name: string, html: string, { draws = true } = {}) {
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
  const drawn = draws ? await drawAll(page) : 0;
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

describe("text from a show's files", () => {
  it.each(injections.map((text, i) => [i, text]))(
    "is only text in the three reports and under a cell: %i %s",
    async (i, injection) => {
      const { study, result } = studyOf(injection as string);
      const { survey, balance } = study.model;
      const rows = survey.positions.slice(0, 3).map((p) => ({ place: p.id, [injection as string]: p.area }));
      const deviations = balance.positions.map((p) => p.deviation_db);
      const pages = {
        technician: pageHtml(technicianPage(study, result), runtime),
        mix: pageHtml(mixEngineerPage(study, result), runtime),
        client: pageHtml(clientPage(study, result), runtime),
        cell: `<!doctype html><meta charset="utf-8"><body><script>${runtime.replaceAll("</script", "<\\/script")}</script>${[
          table(rows, { caption: injection as string }).html,
          figureHtml(
            seatsFigure(study.show.venue, survey.positions, deviations, { title: injection as string }),
          ),
          panel("sub level", { survey, venue: study.show.venue }).html,
        ].join("\n")}`,
      };
      for (const [name, html] of Object.entries(pages)) {
        const { deeds, text, drawn } = await misdeeds(`${name}-${i}`, html);
        expect(deeds, name).toEqual(nothing);
        expect(text, name).not.toMatch(/\bNaN\b|undefined|\[object/);
        if (name !== "client") expect(drawn, name).toBeGreaterThan(0);
      }
    },
  );
});

describe("what a cell said", () => {
  it.each(injections.map((text, i) => [i, text]))("is only text in the book: %i %s", async (i, injection) => {
    const said = injection as string;
    const cells = [
      { cell_type: "markdown", source: "# Lesson", metadata: {} },
      {
        cell_type: "code",
        source: `console.log(${JSON.stringify(said)}) // ${said}`,
        metadata: {},
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
    const lesson = renderLesson({ cells }, { link: (target: string) => target });
    const contents = [
      { title: said, file: "lesson.html" },
      { title: said, file: "next.html" },
    ];
    // The page's own style and theme lie beside a real book; they are not what is tested here.
    const html = renderPage({ lesson: { ...lesson, title: said }, file: "lesson.html", contents }).replace(
      /<(link rel="stylesheet"|script src)[^>]*>(<\/script>)?/g,
      "",
    );
    const { deeds, text } = await misdeeds(`book-${i}`, html, { draws: false });
    expect(deeds).toEqual(nothing);
    expect(text.replace(/\s/g, "")).toContain(said.replace(/\s/g, ""));
  });
});
