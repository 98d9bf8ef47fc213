/** JupyterLab as static files, with the lessons and the kernel of the book. */
import { cpSync, mkdirSync, readFileSync, writeFileSync } from "node:fs";
import path from "node:path";
import { buildSync } from "esbuild";
import { filesBelow, offlineScript } from "../book/offline";
import { dist } from "../build/state.mjs";
import { assignments } from "../class/marking/assignments";
import { studentNotebook } from "../class/marking/notebook";
import { remove } from "../setup/patient-files.cjs";
import { inRoot } from "../setup/places.mjs";
import { lastWords, run } from "../setup/run.mjs";
import { SetupError } from "../setup/setup-error.mjs";
import { filesToHandOut } from "../work/lessons.mjs";

const extension = "evenground-kernel";

/**
 * @param folder  where to; what was there is replaced. `../book/kernel/` beside it holds the kernel
 * @param python  that has jupyterlite-core
 * @param parts  names of the kernel's parts
 */
export async function buildJupyterLite(
  folder: string,
  { python, parts }: { readonly python: string; readonly parts: readonly string[] },
): Promise<void> {
  remove(folder);
  const words = [
    "-m",
    "jupyter",
    "lite",
    "build",
    "--apps",
    "lab",
    "--no-sourcemaps",
    "--output-dir",
    folder,
  ];
  const { code, output } = await run(python, [...words, "--ignore-sys-prefix", "federated_extensions"], {
    cwd: path.dirname(folder),
  });
  if (code !== 0) throw new SetupError(`JupyterLite could not be built:\n  ${lastWords(output)}`);
  remove(path.join(path.dirname(folder), ".jupyterlite.doit.db"));
  layNotebooks(folder);
  closePage(path.join(folder, "lab", "index.html"));
  cpSync(path.join(dist, "assets"), path.join(folder, "static", "evenground"), { recursive: true });
  buildSync({
    entryPoints: [inRoot("scripts", "browser-kernel", "page", "jupyter.ts")],
    outfile: path.join(folder, "extensions", extension, "static", "remoteEntry.js"),
    banner: { js: `var evengroundKernelParts = ${JSON.stringify(parts)};` },
    bundle: true,
    format: "iife",
    target: "es2022",
    minify: true,
    logLevel: "error",
  });
  const file = path.join(folder, "jupyter-lite.json");
  const config = JSON.parse(readFileSync(file, "utf8"));
  Object.assign(config["jupyter-config-data"], {
    appName: "Evenground",
    defaultKernelName: "tslab",
    contentsStorageName: "Evenground",
    settingsStorageName: "Evenground settings",
    workspacesStorageName: "Evenground workspaces",
    contentsAllJsonFile: "all.json",
    federated_extensions: [{ name: extension, load: "static/remoteEntry.js", extension: "./extension" }],
  });
  writeFileSync(file, JSON.stringify(config));
  keepOffline(folder, parts);
}

/** Among what is built but never asked for: letters of older kinds, the builder's own files. */
const unused = /^(doc\/|rspack|jupyterlite\.schema)|licenses\.json$|LICENSE\.txt$|\.(svg|eot|ttf|woff)$/;

/**
 * In place of JupyterLite's own service worker, which keeps what it happens to have fetched, never the lessons, and forgets
 * that it keeps anything once the browser has been closed. JupyterLite asks now and then whether it still answers.
 */
function keepOffline(folder: string, parts: readonly string[]): void {
  const kernel = parts.map((part) => `../book/kernel/${part}.js`);
  const lab = filesBelow(folder).filter((file) => file !== "service-worker.js" && !unused.test(file));
  const answers = `self.addEventListener("fetch", (event) => {
  if (new URL(event.request.url).pathname !== "/api/service-worker-heartbeat") return;
  event.respondWith(new Response("ok"));
  event.stopImmediatePropagation();
});`;
  const script = offlineScript(folder, [...lab, ...kernel], 10_000);
  writeFileSync(path.join(folder, "service-worker.js"), `${answers}\n${script}`);
}

/** Nothing leaves the reader's computer: the page and what it starts, the kernel too, ask their own server alone. */
const policy = [
  "default-src 'self'",
  "script-src 'self' blob: 'unsafe-inline' 'unsafe-eval'",
  "worker-src 'self' blob:",
  "style-src 'self' 'unsafe-inline'",
  "img-src 'self' data: blob:",
  "font-src 'self' data:",
  "media-src 'self' data: blob:",
  "frame-src 'self' blob:",
  "form-action 'none'",
].join("; ");

function closePage(file: string): void {
  const html = readFileSync(file, "utf8");
  const meta = `<meta charset="utf-8">\n    <meta http-equiv="Content-Security-Policy" content="${policy}">`;
  const closed = html.replace('<meta charset="utf-8">', meta);
  if (closed === html) throw new SetupError(`${file} has no place for a content security policy`);
  writeFileSync(file, closed);
}

/** The lessons and what a class hands in, with the lists that JupyterLite reads in place of a server's answers. */
function layNotebooks(folder: string): void {
  const lessons = inRoot("notebooks");
  const top = filesToHandOut(lessons).map((name) => ({
    name,
    text: readFileSync(path.join(lessons, name), "utf8"),
  }));
  const own = assignments.map((assignment) => ({
    name: `${assignment.name}.ipynb`,
    text: JSON.stringify(studentNotebook(assignment), null, 1),
  }));
  layFolder(folder, "", top, ["assignments"]);
  layFolder(folder, "assignments", own);
}

function layFolder(
  folder: string,
  place: string,
  files: readonly { readonly name: string; readonly text: string }[],
  below: readonly string[] = [],
): void {
  const times = { created: new Date().toISOString(), last_modified: new Date().toISOString() };
  const rest = { ...times, format: null, mimetype: null, content: null, writable: true };
  const at = (name: string) => path.posix.join(place, name);
  const content = [
    ...below.map((name) => ({ ...rest, name, path: at(name), type: "directory", size: null })),
    ...files.map(({ name, text }) => {
      writeInto(path.join(folder, "files", place, name), text);
      const type = name.endsWith(".ipynb") ? "notebook" : "file";
      return { ...rest, name, path: at(name), type, size: Buffer.byteLength(text) };
    }),
  ];
  const model = {
    ...rest,
    name: path.basename(place),
    path: place,
    type: "directory",
    format: "json",
    content,
  };
  writeInto(path.join(folder, "api", "contents", place, "all.json"), JSON.stringify(model));
}

function writeInto(file: string, text: string): void {
  mkdirSync(path.dirname(file), { recursive: true });
  writeFileSync(file, text);
}
