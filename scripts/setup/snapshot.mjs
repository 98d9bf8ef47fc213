// @ts-check
/**
 * The kernel's start-up snapshot: what is in memory once its code, the compiler, the declarations and the library are
 * loaded, kept in a file from which a kernel goes on. It fits the very Node.js that made it, started with the same flags,
 * and no other. Where one can't be made, kernels start in the ordinary way.
 */
import { existsSync, mkdirSync, readdirSync, readFileSync, statSync } from "node:fs";
import { createRequire } from "node:module";
import path from "node:path";
import { dist } from "../build/state.mjs";
import { kernelCommand } from "./kernel.mjs";
import { remove, rename } from "./patient-files.cjs";
import { inRoot } from "./places.mjs";
import { run } from "./run.mjs";
import { hashOf, isStamped, writeStamp } from "./stamp.mjs";
import { step } from "./step.mjs";

const kernel = inRoot("scripts", "typescript-kernel");
/** Not in dist/: a library that is built anew takes nothing from under a course that runs. */
const folder = inRoot(".jupyter", "snapshot");

/**
 * Where the snapshot lies; it may not be there.
 *
 * @param {readonly string[]} [flags]  with which Node.js runs the kernel
 */
export function snapshotFile(flags = []) {
  const by = hashOf(...flags, process.env.NODE_OPTIONS ?? "").slice(0, 8);
  return path.join(folder, `${process.version}-${process.arch}-${by}.blob`);
}

/** The kernel's command line, from the snapshot where there is one. */
export function quickKernelCommand() {
  const blob = snapshotFile();
  const [node, ...rest] = kernelCommand;
  return existsSync(blob) ? [node, "--snapshot-blob", blob, ...rest] : kernelCommand;
}

/**
 * What a server needs to start kernels from it (`scripts/jupyter/quick_kernels.py`).
 *
 * @param {readonly string[]} [flags]  with which Node.js runs the kernel
 */
export function snapshotMetadata(flags = []) {
  const { size, mtimeMs } = statSync(process.execPath);
  const node = { file: process.execPath, size, changed: Math.floor(mtimeMs / 1000) };
  return { snapshot: { file: snapshotFile(flags), node } };
}

/**
 * Makes the snapshot where it is missing or older than what it holds.
 *
 * @param {readonly string[]} [flags]  with which Node.js runs the kernel
 */
export async function ensureSnapshot(flags = []) {
  const blob = snapshotFile(flags);
  const stamp = `${blob}.stamp`;
  const wanted = hashOf(...partsOfSnapshot().flatMap((file) => [file, readFileSync(file)]));
  if (isStamped(stamp, wanted)) return;
  await step("the kernel's start-up snapshot", async () => {
    mkdirSync(folder, { recursive: true });
    const made = path.join(folder, `${process.pid}.blob`);
    const bundle = path.join(folder, `${process.pid}.js`);
    try {
      await bundleKernel(bundle);
      const build = [...flags, "--snapshot-blob", made, "--build-snapshot", bundle];
      const tried = [...flags, "--snapshot-blob", made, "main.cjs", "--try"];
      // One that can't be made or does not work is not tried again, until something in it has changed.
      remove(blob);
      if ((await run(process.execPath, build)).code === 0 && (await run(process.execPath, tried)).code === 0)
        rename(made, blob);
      writeStamp(stamp, wanted);
    } finally {
      for (const file of [made, bundle]) remove(file);
    }
  });
}

/** The files that say what is in it. */
const partsOfSnapshot = () => [
  inRoot("package-lock.json"),
  inRoot("scripts", "setup", "snapshot.mjs"),
  path.join(dist, ".stamp"),
  ...[kernel, inRoot("scripts", "setup")].flatMap((folder) =>
    readdirSync(folder)
      .filter((file) => file.endsWith(".cjs"))
      .map((file) => path.join(folder, file)),
  ),
];

/** @param {string} outfile */
async function bundleKernel(outfile) {
  const { build } = await import("esbuild");
  await build({
    entryPoints: [path.join(kernel, "snapshot.cjs")],
    outfile,
    bundle: true,
    platform: "node",
    format: "cjs",
    target: "node20",
    minifyWhitespace: true,
    legalComments: "none",
    logLevel: "silent",
    plugins: [partsOfKernel],
  });
}

/** @type {import("esbuild").Plugin} */
const partsOfKernel = {
  name: "parts-of-kernel",
  setup({ onLoad, onResolve }) {
    const fromTslab = createRequire(
      createRequire(path.join(kernel, "main.cjs")).resolve("tslab/package.json"),
    );
    const compiler = fromTslab.resolve("@tslab/typescript-for-tslab");
    const word = JSON.stringify;
    // Within a snapshot `require` finds Node.js's own modules alone; a package is loaded once the kernel runs.
    onResolve({ filter: /^(zeromq|danfojs-node|mathjs)$/ }, ({ path: name, importer }) => ({
      path: name,
      namespace: "once it runs",
      pluginData: importer,
    }));
    onLoad({ filter: /.*/, namespace: "once it runs" }, ({ path: name, pluginData: importer }) => ({
      contents: `module.exports = require("node:module").createRequire(${word(importer)})(${word(name)});`,
    }));
    onResolve({ filter: /^@tslab\/typescript-for-tslab$/ }, () => ({
      path: compiler,
      namespace: "compiler",
    }));
    onLoad({ filter: /.*/, namespace: "compiler" }, () => ({
      contents: `module.exports = require("./compiler.cjs").prepared(require(${word(compiler)}), ${word(path.dirname(compiler))});`,
      resolveDir: kernel,
    }));
    // Each file keeps knowing where it lies.
    onLoad({ filter: /\.c?js$/ }, ({ path: file }) => {
      const source = readFileSync(file, "utf8");
      const place = `const __filename = ${word(file)}, __dirname = ${word(path.dirname(file))};`;
      return { contents: /\b__(dir|file)name\b/.test(source) ? place + source : source };
    });
  },
};
