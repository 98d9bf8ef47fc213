/** The kernel for browsers, built into a folder of static files. */
import { mkdirSync, readdirSync, readFileSync, statSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import path from "node:path";
import { build, type Plugin, transform } from "esbuild";
import { dist } from "../build/state.mjs";
import { remove } from "../setup/patient-files.cjs";
import { inRoot, root } from "../setup/places.mjs";

const here = inRoot("scripts", "browser-kernel");
/** Where the kernel has the repository: `worker/course.ts`. */
const course = "/course";
/** Files from this size on come each in a pack of its own, bytes. */
const large = 50_000;

/** A pack's content before it is written. */
interface Content {
  readonly texts?: { readonly [path: string]: string };
  readonly bytes?: { readonly [path: string]: string };
  /** Code of CommonJS modules. */
  readonly modules?: { readonly [path: string]: string };
}

/**
 * @param folder  to write; what was there is replaced
 * @returns names of its parts, of which the first two are needed at once
 */
export async function buildKernel(folder: string): Promise<string[]> {
  remove(folder);
  mkdirSync(folder, { recursive: true });
  const [typescript, kernel, client, danfo, library] = await Promise.all([
    compilerAlone(),
    bundled(path.join(here, "worker", "main.ts"), "iife"),
    bundled(path.join(here, "page", "global.ts"), "iife"),
    bundled(inRoot("node_modules", "danfojs-node", "dist", "danfojs-node", "src", "index.js"), "cjs"),
    minified(path.join(dist, "index.js")),
  ]);
  const packs = new Map<string, Content>(dataPacks());
  packs.set("mathjs", {
    modules: {
      [`${course}/node_modules/mathjs/lib/browser/math.js`]: readFileSync(
        inRoot("node_modules", "mathjs", "lib", "browser", "math.js"),
        "utf8",
      ),
    },
  });
  packs.set("mathjs-types", {
    texts: {
      [`${course}/node_modules/mathjs/types/index.d.ts`]: textOf(
        "node_modules",
        "mathjs",
        "types",
        "index.d.ts",
      ),
    },
  });
  packs.set("danfojs", { modules: { [`${course}/node_modules/danfojs-node/index.js`]: danfo } });
  // What reports are made of.
  packs.set("runtime", {
    texts: {
      [`${course}/dist/assets/runtime.js`]: readFileSync(path.join(dist, "assets", "runtime.js"), "utf8"),
    },
  });
  const waiting = [...packs].flatMap(([pack, { texts, bytes, modules }]) =>
    Object.entries({ ...texts, ...bytes, ...modules }).map(([file, content]) => [
      file,
      [pack, bytes?.[file] ? statSync(inRoot(path.relative(course, file))).size : Buffer.byteLength(content)],
    ]),
  );
  packs.set("library", {
    modules: { [`${course}/node_modules/evenground/index.js`]: library },
    texts: {
      ...languageDeclarations(),
      [`${course}/scripts/typescript-kernel/types/node/index.d.ts`]: textOf(
        "scripts",
        "typescript-kernel",
        "types",
        "node",
        "index.d.ts",
      ),
      [`${course}/scripts/typescript-kernel/types/node/package.json`]: textOf(
        "scripts",
        "typescript-kernel",
        "types",
        "node",
        "package.json",
      ),
      [`${course}/node_modules/evenground/index.d.ts`]: readFileSync(path.join(dist, "index.d.ts"), "utf8"),
      [`${course}/node_modules/evenground/package.json`]: '{"main":"index.js","types":"index.d.ts"}',
      [`${course}/node_modules/mathjs/package.json`]:
        '{"main":"lib/browser/math.js","types":"types/index.d.ts"}',
      [`${course}/node_modules/danfojs-node/package.json`]: '{"main":"index.js"}',
      [`${course}/package.json`]: JSON.stringify({ version: JSON.parse(textOf("package.json")).version }),
      [`${course}/files.json`]: JSON.stringify({ files: Object.fromEntries(waiting) }),
    },
  });
  const names = ["kernel", "library", ...[...packs.keys()].filter((name) => name !== "library")];
  writePack(folder, "kernel", `${typescript}\n${kernel}`);
  for (const [name, content] of packs) writePack(folder, name, `return ${written(content)};`);
  writeFileSync(
    path.join(folder, "client.js"),
    `var evengroundKernelParts = ${JSON.stringify(names)};\n${client}`,
  );
  return names;
}

/** The course's data: large files each in a pack, the small ones of a folder in one. */
function dataPacks(): [string, Content][] {
  const packs = new Map<string, { [path: string]: string }>();
  for (const file of readdirSync(inRoot("data"), { recursive: true, withFileTypes: true })) {
    if (!file.isFile() || file.name.endsWith(".schema.json")) continue;
    const whole = path.join(file.parentPath, file.name);
    const place = path.relative(root, statSync(whole).size < large ? file.parentPath : whole);
    const pack = place.split(path.sep).join("-").replaceAll(".", "-");
    packs.set(pack, {
      ...packs.get(pack),
      [`${course}/${path.relative(root, whole).split(path.sep).join("/")}`]: readFileSync(whole, "base64"),
    });
  }
  return [...packs].map(([name, bytes]) => [name, { bytes }]);
}

/** What the language itself declares, without comments: they take most of the space and none of the lessons shows them. */
function languageDeclarations(): { [path: string]: string } {
  const folder = path.dirname(compiler);
  const names = readdirSync(folder).filter((file) =>
    /^lib\.(es5|es20(1\d|2[0-2])|decorators)\b.*\.d\.ts$/.test(file),
  );
  return Object.fromEntries(
    names.map((name) => [
      `${course}/${path.relative(root, folder).split(path.sep).join("/")}/${name}`,
      readFileSync(path.join(folder, name), "utf8").replace(/\/\*[\s\S]*?\*\//g, ""),
    ]),
  );
}

const textOf = (...parts: string[]) => readFileSync(inRoot(...parts), "utf8");

function writePack(folder: string, name: string, body: string): void {
  writeFileSync(
    path.join(folder, `${name}.js`),
    // In parentheses: engines then read it once, and not again when it is called.
    `evengroundPacks[${JSON.stringify(name)}] = (function () {\n${body}\n});\n`,
  );
}

function written({ texts = {}, bytes = {}, modules = {} }: Content): string {
  const code = Object.entries(modules).map(
    ([file, text]) =>
      `${JSON.stringify(file)}: function (exports, require, module, __filename, __dirname) {\n${text}\n}`,
  );
  return `{ texts: ${JSON.stringify(texts)}, bytes: ${JSON.stringify(bytes)}, modules: {${code.join(",\n")}} }`;
}

const fromTslab = createRequire(createRequire(path.join(here, "build.ts")).resolve("tslab/package.json"));
const compiler = fromTslab.resolve("@tslab/typescript-for-tslab");

/**
 * The compiler by itself, in functions that engines read at once. In the bundle it would stand three functions deep, of which
 * an engine skips each before it reads it, and with it the whole: half of the kernel's start.
 */
async function compilerAlone(): Promise<string> {
  const source = readFileSync(compiler, "utf8");
  const eager = source.replace("var ts = (() => {", "var ts = (function () {");
  if (eager === source) throw new Error(`${compiler} no longer begins with the function that holds it all`);
  const { code } = await transform(eager, { ...smaller, define, format: "cjs" });
  return `var evengroundCompiler = (function () { var module = { exports: {} }; ${code}\nreturn module.exports; });`;
}

const smaller = { target: "es2022", minify: true, legalComments: "none", logLevel: "error" } as const;
const define = { "process.browser": "true" };

async function bundled(entry: string, format: "iife" | "cjs"): Promise<string> {
  const { outputFiles } = await build({
    entryPoints: [entry],
    bundle: true,
    write: false,
    platform: "browser",
    format,
    ...smaller,
    // One mathjs serves cells and data frames.
    external: ["mathjs"],
    define,
    plugins: [inBrowser],
  });
  return outputFiles[0].text;
}

async function minified(file: string): Promise<string> {
  return (await transform(readFileSync(file, "utf8"), smaller)).code;
}

const leftOut =
  /^(zeromq|stream|events|string_decoder|http|https|zlib|xlsx|node-fetch|stream-json.*|plotly.js-dist-min)$/;

/** Node.js' modules become our stand-ins, the compiler reads the kernel's files, and each file knows where it lies. */
const inBrowser: Plugin = {
  name: "in-browser",
  setup({ onLoad, onResolve }) {
    const own = createRequire(path.join(here, "build.ts"));
    const standIns: { readonly [name: string]: string } = {
      buffer: own.resolve("buffer/"),
      path: own.resolve("path-browserify"),
      crypto: path.join(here, "node", "crypto.ts"),
      fs: path.join(here, "node", "fs.ts"),
      module: path.join(here, "node", "module.ts"),
      os: path.join(here, "node", "os.ts"),
      util: path.join(here, "node", "util.ts"),
      vm: path.join(here, "node", "vm.cjs"),
    };
    onResolve({ filter: RegExp(`^(node:)?(${Object.keys(standIns).join("|")})$`) }, ({ path: name }) => ({
      path: standIns[name.replace("node:", "")],
    }));
    // Named by packages for what no cell does here: the kernel's sockets, data frames as spreadsheets and plots, the network.
    onResolve({ filter: leftOut }, ({ path: name }) => ({ path: name, namespace: "left-out" }));
    onLoad({ filter: /.*/, namespace: "left-out" }, () => ({ contents: "module.exports = class {};" }));
    onResolve({ filter: /^@tslab\/typescript-for-tslab$/ }, () => ({
      path: compiler,
      namespace: "compiler",
    }));
    onLoad({ filter: /.*/, namespace: "compiler" }, () => ({
      contents: `const { files, root } = require("./browser-kernel/worker/course");
const { compilerSystem } = require("./browser-kernel/worker/system");
const typescript = evengroundCompiler();
const place = root + ${JSON.stringify(`/${path.relative(root, compiler).split(path.sep).join("/")}`)};
typescript.setSys(compilerSystem(files, root, place));
module.exports = require("./typescript-kernel/compiler.cjs").prepared(typescript, place.slice(0, place.lastIndexOf("/")));`,
      resolveDir: inRoot("scripts"),
    }));
    onLoad({ filter: /\.c?js$/ }, ({ path: file }) => {
      const source = readFileSync(file, "utf8");
      if (!/\b__(dir|file)name\b/.test(source)) return undefined;
      const place = `${course}/${path.relative(root, file).split(path.sep).join("/")}`;
      return {
        contents: `const __filename = ${JSON.stringify(place)}, __dirname = ${JSON.stringify(path.posix.dirname(place))};${source}`,
      };
    });
  },
};
