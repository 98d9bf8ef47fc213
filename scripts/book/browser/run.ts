/** Makes a lesson's page run: its cells can be changed and run in the browser, and what they give is kept there. */
import { addOutput } from "../../notebook/add-output";
import type { Output } from "../../notebook/format";
import type { Editor, EditorOptions } from "./run/editor";
import { keepLesson, keptFiles, restoreLesson } from "./run/kept";
import { codeOfNotebook, type Lesson, lessonOfPage, notebookText, type RunCell } from "./run/lesson";
import { openSession } from "./run/session";
import { showOutputs } from "./run/show-outputs";

declare global {
  interface Window {
    evengroundEditor?: (options: EditorOptions) => Editor;
  }
}

const found = lessonOfPage();
if (found) makeRunnable(found);
if (location.protocol.startsWith("http") && "serviceWorker" in navigator)
  addEventListener("load", () => void navigator.serviceWorker.register("offline.js").catch(() => {}));

function makeRunnable(lesson: Lesson): void {
  const { cells } = lesson;
  const status = document.createElement("p");
  status.setAttribute("role", "status");
  const tell = (text: string) => {
    status.textContent = text;
  };
  const files = fileList();
  const session = openSession(files.show);
  const ran = new Set<RunCell>();
  const editors = new Map<RunCell, Editor>();
  const renewals: (() => void)[] = [];
  const renew = () => {
    for (const each of renewals) each();
  };
  let running = false;
  let saving: Promise<unknown> = Promise.resolve();
  const keep = () => {
    saving = saving
      .then(() => keepLesson(lesson))
      .catch(() => tell("This browser keeps nothing for this page: save your work as a notebook."));
  };

  async function run(wanted: readonly RunCell[]): Promise<void> {
    if (running) return;
    running = true;
    renew();
    try {
      tell(session.isOpen ? "" : "The kernel starts …");
      const kernel = await session.kernel();
      for (const cell of wanted) {
        tell(`Cell ${cells.indexOf(cell) + 1} of ${cells.length} runs …`);
        cell.section.setAttribute("aria-busy", "true");
        const outputs: Output[] = [];
        const shown = new Map<string, Output>();
        cell.outputs = outputs;
        showOutputs(cell.shown, outputs);
        const end = await kernel.execute(cell.text, (message) => {
          addOutput(outputs, shown, message);
          showOutputs(cell.shown, outputs);
        });
        cell.section.removeAttribute("aria-busy");
        if (end === "dead") return;
        ran.add(cell);
        if (end !== "ok" && !cell.mayFail) {
          tell(`Cell ${cells.indexOf(cell) + 1} failed: what went wrong stands below it.`);
          return;
        }
      }
      tell(wanted.length > 1 ? `${wanted.length} cells have run.` : "The cell has run.");
    } catch (error) {
      tell((error as Error).message);
    } finally {
      for (const cell of wanted) cell.section.removeAttribute("aria-busy");
      running = false;
      keep();
      renew();
    }
  }

  async function stop(): Promise<void> {
    await session.stop();
    ran.clear();
    tell("Stopped. What the cells had computed is gone: Run with all before computes it again.");
  }

  const upTo = (cell: RunCell) => cells.slice(0, cells.indexOf(cell) + 1);

  async function edit(cell: RunCell): Promise<void> {
    if (!editors.has(cell)) {
      await loadEditor();
      const editor = window.evengroundEditor?.({
        text: cell.text,
        label: `Code of cell ${cells.indexOf(cell) + 1}`,
        onChange: (text) => {
          cell.text = text;
          keep();
          renew();
        },
        onRun: () => void run([cell]),
        ask: async (type, content) => (running ? {} : (await session.kernel()).reply(type, content)),
      });
      if (!editor) return;
      editors.set(cell, editor);
      cell.code.querySelector("pre")?.replaceWith(editor.element);
    }
    editors.get(cell)?.focus();
  }

  /** Gives a cell another text, in its editor or where the book has it. */
  function setText(cell: RunCell, text: string): void {
    cell.text = text;
    const editor = editors.get(cell);
    const code = cell.code.querySelector("pre.code code");
    if (editor) editor.setText(text);
    else if (code) code.textContent = text;
    renew();
  }

  /** The kernel begins where somebody comes near a button that needs it. */
  const prepare = () => {
    if (session.isOpen) return;
    session
      .kernel()
      .then((kernel) => running || kernel.warm())
      .catch(() => {});
  };

  for (const [i, cell] of cells.entries()) {
    const name = `cell ${i + 1}`;
    const tools = document.createElement("div");
    tools.className = "run-tools";
    const runs = button("Run", `Run ${name}`, () => void run([cell]));
    const all = button("Run with all before", `Run with all before, ${name}`, () => void run(upTo(cell)));
    const change = button("Edit", `Edit ${name}`, () => void edit(cell));
    const back = button("Set back", `Set back ${name} to the course's code`, () => {
      setText(cell, cell.original);
      keep();
      change.focus();
    });
    tools.append(runs, all, change, back);
    for (const event of ["pointerenter", "focusin"]) tools.addEventListener(event, prepare, { once: true });
    cell.code.after(tools);
    renewals.push(() => {
      runs.disabled = all.disabled = running;
      back.hidden = cell.text === cell.original;
    });
  }

  const bar = document.createElement("div");
  bar.setAttribute("role", "region");
  bar.className = "run-bar";
  bar.setAttribute("aria-label", "Run this lesson");
  const runAll = button("Run all cells", "", () => void run(cells));
  const stops = button("Stop", "", () => void stop());
  const save = button("Save as notebook", "", () =>
    download(`${document.title}.ipynb`, notebookText(lesson), "application/x-ipynb+json"),
  );
  const open = chooser("Open a notebook", { accept: ".ipynb,application/json" }, async ([file]) => {
    try {
      const codes = codeOfNotebook(await file.text(), lesson);
      for (const [i, text] of codes.entries()) setText(cells[i], text);
      keep();
      tell(`${file.name} is open: its code stands in the cells. Run them to see what they give.`);
    } catch (error) {
      tell((error as Error).message);
    }
  });
  const recordings = chooser("Choose a folder of recordings", { folder: true }, async (chosen) => {
    await session.attach(chosen);
    const [folder] = chosen[0].webkitRelativePath.split("/");
    tell(`${chosen.length} files can be read in cells until this page is closed: read.show("${folder}").`);
  });
  bar.append(runAll, stops, save, open, recordings, status, files.element);
  renewals.push(() => {
    runAll.disabled = running;
    stops.disabled = !running;
  });
  document.getElementById("main")?.prepend(bar);
  renew();

  void restoreLesson(lesson)
    .then((count) => {
      for (const cell of cells) {
        if (cell.text !== cell.original) setText(cell, cell.text);
        if (cell.outputs) showOutputs(cell.shown, cell.outputs);
      }
      if (count) tell(`Your work of last time is here: ${count} of ${cells.length} cells.`);
    })
    .catch(() => {});
  void keptFiles()
    .then((kept) => {
      for (const [path, bytes] of kept) files.show(path.replace("/course/", ""), bytes);
    })
    .catch(() => {});
}

/** Files that cells have written, to be downloaded. */
function fileList() {
  const element = document.createElement("details");
  element.hidden = true;
  const summary = document.createElement("summary");
  const list = document.createElement("ul");
  element.append(summary, list);
  const links = new Map<string, HTMLElement>();
  return {
    element,
    show(name: string, bytes: Uint8Array | undefined) {
      links.get(name)?.remove();
      links.delete(name);
      if (bytes) {
        const item = document.createElement("li");
        item.append(button(name, `Download ${name}`, () => download(name.split("/").at(-1) ?? name, bytes)));
        links.set(name, item);
        list.append(item);
      }
      summary.textContent = `Files that cells wrote: ${links.size}`;
      element.hidden = links.size === 0;
    },
  };
}

function button(text: string, label: string, onClick: () => void): HTMLButtonElement {
  const made = document.createElement("button");
  made.type = "button";
  made.textContent = text;
  if (label) made.setAttribute("aria-label", label);
  made.addEventListener("click", onClick);
  return made;
}

/** A button that lets choose a file, or a folder's files. */
function chooser(
  text: string,
  { accept = "", folder = false }: { readonly accept?: string; readonly folder?: boolean },
  onChoice: (files: File[]) => Promise<void>,
): HTMLElement {
  const input = document.createElement("input");
  input.type = "file";
  input.accept = accept;
  input.webkitdirectory = folder;
  input.hidden = true;
  input.addEventListener("change", () => {
    const files = Array.from(input.files ?? []);
    input.value = "";
    if (files.length) void onChoice(files);
  });
  const place = document.createElement("span");
  place.append(
    button(text, "", () => input.click()),
    input,
  );
  return place;
}

function download(name: string, content: string | Uint8Array, type = "application/octet-stream"): void {
  const link = document.createElement("a");
  link.download = name;
  link.href = URL.createObjectURL(new Blob([content as BlobPart], { type }));
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 60_000);
}

let loading: Promise<void> | undefined;
const loadEditor = () =>
  (loading ??= new Promise((resolve, reject) => {
    const script = document.createElement("script");
    script.src = "assets/editor.js";
    script.onload = () => resolve();
    script.onerror = () => reject(new Error("the editor could not be loaded"));
    document.head.append(script);
  }));
