/**
 * The tarball used as others would use it: from Node.js as an ES module and by `require`, by strict TypeScript as Node.js and
 * as a bundler resolve, in a browser bundle by esbuild and by Vite, and by Bun and Deno. The answers are those of the
 * notches' formula, and the same everywhere.
 */
import { execFileSync } from "node:child_process";
import { cpSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import path from "node:path";
import vm from "node:vm";
import { gzipSync } from "node:zlib";
import { build } from "esbuild";
import { runNpm } from "../setup/npm-command.mjs";
import { inRoot } from "../setup/places.mjs";
import { lastWords } from "../setup/run.mjs";
import { SetupError } from "../setup/setup-error.mjs";

/** Programs of others, at the versions with which they were tried. */
const runtimes = { bun: "1.4.5", deno: "2.9.6" };
const checkers = { publint: "0.3.25", "@arethetypeswrong/cli": "0.18.5", vite: "8.3.8" };

/** A path difference of 2 m at 343 m/s cancels at odd multiples of 343 / (2 · 2) Hz. */
const expected = [85.75, 257.25];

interface User {
  /** A folder that has nothing but the package. */
  readonly folder: string;
  readonly tarball: string;
  readonly venue: string;
  /** A program of npm's, by its name. */
  readonly bin: (name: string) => string;
}

/** @returns the exit code */
export async function checkPackage(tarball: string): Promise<number> {
  const folder = mkdtempSync(path.join(tmpdir(), "evenground-user-"));
  let [passed, failed] = [0, 0];
  try {
    const user = await install(folder, tarball);
    for (const [name, check] of Object.entries(checks)) {
      try {
        const said = await check(user);
        passed++;
        console.log(`  ${name}: ${said ?? "right"}`);
      } catch (error) {
        failed++;
        const { stdout, stderr, message } = error as { stdout?: Buffer; stderr?: Buffer; message: string };
        console.log(`  ${name}: failed\n${[message, stdout, stderr].filter(Boolean).join("\n")}`);
      }
    }
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
  console.log(`${passed} passed, ${failed} failed`);
  return failed ? 1 : 0;
}

async function install(folder: string, tarball: string): Promise<User> {
  writeFileSync(path.join(folder, "package.json"), JSON.stringify({ private: true, type: "module" }));
  const wanted = Object.entries({ ...runtimes, ...checkers }).map(([name, version]) => `${name}@${version}`);
  const { code, output } = await runNpm(
    ["install", "--ignore-scripts", "--no-audit", "--no-fund", tarball, ...wanted],
    folder,
  );
  if (code !== 0) throw new SetupError(`The package could not be installed:\n  ${lastWords(output)}`);
  cpSync(inRoot("scripts", "package", "users"), folder, { recursive: true });
  const venue = path.join(folder, "node_modules", "evenground", "data", "venues", "ombrik-cellar.json");
  return { folder, tarball, venue, bin: (name) => path.join(folder, "node_modules", ".bin", name) };
}

/** Each says something worth keeping, or throws. */
const checks: { readonly [name: string]: (user: User) => Promise<string | undefined> | string | undefined } =
  {
    publint: ({ folder, bin }) => {
      execFileSync(process.execPath, [bin("publint"), "node_modules/evenground", "--strict"], {
        cwd: folder,
      });
      return undefined;
    },
    "types for each kind of import": ({ folder, bin, tarball }) => {
      const args = [bin("attw"), tarball, "--exclude-entrypoints", "data/*", "--no-color"];
      execFileSync(process.execPath, args, { cwd: folder });
      return undefined;
    },
    "Node.js, ES module": (user) => held(run(user, process.execPath, ["run.mjs", user.venue])),
    "Node.js, require": (user) => held(run(user, process.execPath, ["run.cjs", user.venue])),
    Bun: (user) => held(run(user, nativeProgram(user, "@oven", "bun"), ["run.mjs", user.venue])),
    Deno: (user) =>
      held(run(user, nativeProgram(user, "@deno", "deno"), ["run", "--allow-read", "run.mjs", user.venue])),
    "strict TypeScript, as Node.js resolves": (user) => compiled(user, "nodenext"),
    "strict TypeScript, as a bundler resolves": (user) => compiled(user, "bundler"),
    "esbuild, for a browser": async (user) => inBrowser(await bundled(user, "program.mjs"), user),
    "Vite, for a browser": async (user) => {
      const config = {
        build: { lib: { entry: "program.mjs", formats: ["cjs"], fileName: "vite" }, outDir: "vite" },
      };
      writeFileSync(path.join(user.folder, "vite.config.mjs"), `export default ${JSON.stringify(config)};`);
      execFileSync(process.execPath, [user.bin("vite"), "build"], { cwd: user.folder });
      return inBrowser(readFileSync(path.join(user.folder, "vite", "vite.cjs"), "utf8"), user);
    },
    "bytes of a browser bundle, gzip": async (user) => {
      const uses = {
        "one formula": 'import { acoustics } from "evenground"; acoustics.reflection.notches(2, 343, 300)',
        acoustics: 'import { acoustics } from "evenground"; console.log(acoustics)',
        "model and decisions":
          'import { decide, predict, venues } from "evenground"; console.log(decide, predict, venues)',
        all: 'import * as all from "evenground"; console.log(all)',
      };
      const sizes = [];
      for (const [what, text] of Object.entries(uses)) {
        writeFileSync(path.join(user.folder, "use.mjs"), text);
        sizes.push(`${what} ${gzipSync(await bundled(user, "use.mjs"), { level: 9 }).length}`);
      }
      return sizes.join(", ");
    },
  };

const run = ({ folder }: User, program: string, args: readonly string[]): string =>
  execFileSync(program, args, { cwd: folder, encoding: "utf8", stdio: ["ignore", "pipe", "pipe"] });

/** The program itself, which npm would put in place by an install script of the package. */
function nativeProgram({ folder }: User, scope: string, name: string): string {
  const packages = path.join(folder, "node_modules", scope);
  const found = readdirSync(packages, { recursive: true, encoding: "utf8" }).find((file) =>
    [name, `${name}.exe`].includes(path.basename(file)),
  );
  if (!found) throw new Error(`npm brings no ${name} for this computer`);
  return path.join(packages, found);
}

/** The answers, when they are right. */
function held(text: string): string {
  const { notches, offset_db } = JSON.parse(text);
  if (JSON.stringify(notches) !== JSON.stringify(expected) || !Number.isFinite(offset_db))
    throw new Error(`answered ${text}, expected notches at ${expected.join(" and ")} Hz`);
  return `subs ${offset_db.toFixed(2)} dB`;
}

function compiled({ folder }: User, resolution: "nodenext" | "bundler"): string | undefined {
  const compilerOptions = {
    strict: true,
    exactOptionalPropertyTypes: true,
    noUncheckedIndexedAccess: true,
    skipLibCheck: false,
    noEmit: true,
    target: "ES2022",
    lib: ["ES2022"],
    types: [],
    module: resolution === "bundler" ? "ES2022" : "nodenext",
    moduleResolution: resolution,
  };
  writeFileSync(
    path.join(folder, "tsconfig.json"),
    JSON.stringify({ compilerOptions, files: ["strict.ts"] }),
  );
  execFileSync(process.execPath, [inRoot("node_modules", "typescript", "bin", "tsc")], { cwd: folder });
  return undefined;
}

async function bundled({ folder }: User, entry: string): Promise<string> {
  const { outputFiles, warnings } = await build({
    entryPoints: [path.join(folder, entry)],
    bundle: true,
    minify: true,
    write: false,
    platform: "browser",
    format: "cjs",
    target: "es2022",
    logLevel: "silent",
  });
  if (warnings.length > 0) throw new Error(warnings.map(({ text }) => text).join("\n"));
  return outputFiles[0].text;
}

/** Runs a bundle with what every browser has, and nothing of Node.js. */
function inBrowser(code: string, { venue }: User): string {
  const module: { exports: { answers?: (text: string) => object } } = { exports: {} };
  const scope = { module, exports: module.exports, console, WebAssembly, atob, TextDecoder, TextEncoder };
  vm.runInNewContext(code, scope);
  return held(JSON.stringify(module.exports.answers?.(readFileSync(venue, "utf8"))));
}
