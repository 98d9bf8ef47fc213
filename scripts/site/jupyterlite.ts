/** JupyterLab as static files, with the lessons and the kernel of the book. */
import { cpSync, mkdirSync, readFileSync, statSync, writeFileSync } from "node:fs";
import path from "node:path";
import { buildSync } from "esbuild";
import { dist } from "../build/state.mjs";
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
  layLessons(folder);
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

/** The lessons, and the list of them that JupyterLite reads in place of a server's answer. */
function layLessons(folder: string): void {
  const lessons = inRoot("notebooks");
  const files = filesToHandOut(lessons);
  const content = files.map((file) => {
    cpSync(path.join(lessons, file), path.join(folder, "files", file));
    const { size, mtime } = statSync(path.join(lessons, file));
    const changed = mtime.toISOString();
    const isNotebook = file.endsWith(".ipynb");
    return {
      name: file,
      path: file,
      type: isNotebook ? "notebook" : "file",
      format: null,
      mimetype: null,
      content: null,
      size,
      writable: true,
      created: changed,
      last_modified: changed,
    };
  });
  const api = path.join(folder, "api", "contents");
  mkdirSync(api, { recursive: true });
  writeFileSync(
    path.join(api, "all.json"),
    JSON.stringify({ name: "", path: "", type: "directory", content }),
  );
}
