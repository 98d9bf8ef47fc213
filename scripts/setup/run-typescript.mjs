// @ts-check
/** Runs a TypeScript file of ours: bundled on the spot, which takes a tenth of what compiling it at run time does. */
import { spawnSync } from "node:child_process";
import { existsSync, readFileSync, writeFileSync } from "node:fs";
import path from "node:path";
import { pathToFileURL } from "node:url";
import { inRoot } from "./places.mjs";
import { SetupError } from "./setup-error.mjs";
import { hashOf, isStamped, writeStamp } from "./stamp.mjs";

const folder = inRoot("dist", "commands");

/**
 * @param {string} file  the TypeScript file
 * @returns {Promise<string>} the CommonJS file it became, made anew where a source has changed
 */
export async function bundle(file) {
  const name = path.relative(inRoot("scripts"), file).replace(/\.ts$/, "").replaceAll(path.sep, "-");
  const outfile = path.join(folder, `${name}.cjs`);
  const inputs = `${outfile}.inputs`;
  const stamp = `${outfile}.stamp`;
  if (existsSync(outfile) && existsSync(inputs)) {
    const made = readFileSync(inputs, "utf8").split("\n");
    if (made.every(existsSync) && isStamped(stamp, hashOfFiles(made))) return outfile;
  }
  const { build } = await import("esbuild");
  try {
    const { metafile } = await build({
      entryPoints: [file],
      outfile,
      bundle: true,
      external,
      platform: "node",
      format: "cjs",
      target: "node20",
      sourcemap: "inline",
      plugins: [ownPlace],
      logLevel: "silent",
      metafile: true,
      absWorkingDir: inRoot(),
    });
    const made = [inRoot("package-lock.json"), ...Object.keys(metafile.inputs).map((input) => inRoot(input))];
    writeFileSync(inputs, made.join("\n"));
    writeStamp(stamp, hashOfFiles(made));
  } catch (error) {
    throw new SetupError(
      `${path.relative(inRoot(), file)} could not be built: ${/** @type {Error} */ (error).message}`,
    );
  }
  return outfile;
}

/** Packages that read files of their own beside them; the others load sooner as part of the bundle. */
const external = [
  "danfojs-node",
  "esbuild",
  "mathjs",
  "playwright-core",
  "ts-json-schema-generator",
  "typescript",
  "zeromq",
];

/** @param {readonly string[]} files */
const hashOfFiles = (files) => hashOf(...files.flatMap((file) => [file, readFileSync(file)]));

/**
 * Each file keeps knowing where it lies, though it now runs from elsewhere.
 *
 * @type {import("esbuild").Plugin}
 */
const ownPlace = {
  name: "own-place",
  setup({ onLoad }) {
    onLoad({ filter: /\.(ts|mjs)$/ }, ({ path: file }) => {
      const source = readFileSync(file, "utf8").replaceAll(
        "import.meta.url",
        JSON.stringify(pathToFileURL(file).href),
      );
      const place = `const __dirname = ${JSON.stringify(path.dirname(file))};`;
      return { contents: source.includes("__dirname") ? `${place}${source}` : source, loader: "ts" };
    });
  },
};

/**
 * Runs it as a program where the user stands, which under npm is not the current folder.
 *
 * @param {string} file
 * @param {readonly string[]} args
 * @returns {Promise<number>} its exit code
 */
export async function runTypeScript(file, args) {
  const program = await bundle(file);
  const cwd = process.env.INIT_CWD ?? process.cwd();
  const flags = [...process.execArgv, "--enable-source-maps"];
  return spawnSync(process.execPath, [...flags, program, ...args], { cwd, stdio: "inherit" }).status ?? 1;
}
