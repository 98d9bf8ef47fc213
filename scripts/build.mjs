// @ts-check
/**
 * Builds the library into dist/: one CommonJS file for the kernel, whose functions refuse what they cannot take, its
 * declarations, and what live panels load in the browser. A syntax error stops it; types are the business of
 * `npm run types`.
 */
import { cpSync, existsSync, mkdirSync, writeFileSync } from "node:fs";
import path from "node:path";
import { build } from "esbuild";
import { declarationsOf, programOf } from "./build/declarations.mjs";
import { shapesOf } from "./build/shapes.mjs";
import { dist, linkLibrary, markBuilt, sourceHash } from "./build/state.mjs";
import { remove, rename } from "./setup/patient-files.cjs";
import { inRoot } from "./setup/places.mjs";

const hash = sourceHash();
const entry = inRoot("lib", "index.ts");
const panelRuntime = inRoot("lib", "lesson", "browser", "runtime.ts");

/** Built aside and swapped in whole, so that a running course never meets half a library. */
const fresh = `${dist}.${process.pid}`;
process.on("exit", () => remove(fresh));
const assets = path.join(fresh, "assets");
mkdirSync(assets, { recursive: true });

const program = programOf(entry);
const forKernel = build({
  stdin: {
    contents: `import * as face from "./index";
import { guardPublicApi } from "./guard/public-api";
module.exports = guardPublicApi(face, ${JSON.stringify(shapesOf(program, entry))});`,
    resolveDir: path.dirname(entry),
  },
  logOverride: { "commonjs-variable-in-esm": "silent" },
  outfile: path.join(fresh, "index.js"),
  bundle: true,
  // Packages of many files load sooner as part of this one; those that few lessons need are loaded when they do.
  external: ["danfojs-node", "mathjs"],
  // The kernel runs kept code, from which `import()` finds no loader; `require` does.
  supported: { "dynamic-import": false },
  platform: "node",
  format: "cjs",
  target: "node20",
  logLevel: "error",
});
const forThreads = build({
  entryPoints: [inRoot("lib", "study", "study-thread.ts")],
  outfile: path.join(fresh, "study-thread.js"),
  bundle: true,
  platform: "node",
  format: "cjs",
  target: "node20",
  logLevel: "error",
});
const forBrowser = existsSync(panelRuntime)
  ? build({
      entryPoints: [panelRuntime],
      outfile: path.join(assets, "runtime.js"),
      bundle: true,
      platform: "browser",
      format: "iife",
      target: "es2022",
      minify: true,
      logLevel: "error",
    })
  : undefined;

writeFileSync(path.join(fresh, "index.d.ts"), declarationsOf(entry, program));
writeFileSync(
  path.join(fresh, "package.json"),
  `${JSON.stringify({ name: "evenground", version: "0.1.0", private: true, main: "index.js", types: "index.d.ts" }, null, 2)}\n`,
);
try {
  await Promise.all([forKernel, forThreads, forBrowser]);
} catch {
  process.exit(1);
}
// JupyterLab serves a folder's content below static/, and follows no links out of it.
cpSync(assets, path.join(fresh, "static", "evenground"), { recursive: true });
// A course that runs meanwhile finds the old one or the new one, never none.
const old = `${dist}.${process.pid}.old`;
if (existsSync(dist)) rename(dist, old);
rename(fresh, dist);
remove(old);
linkLibrary(inRoot("node_modules"));
markBuilt(hash);
