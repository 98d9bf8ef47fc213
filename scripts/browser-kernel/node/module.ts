/** Node.js' `module`: what `require` finds from a cell, and from the packages that it loads. */
import path from "node:path";
import vm from "node:vm";
import { files } from "../worker/course";
import { builtIn } from "./built-in";

type Require = (name: string) => unknown;

const loaded = new Map<string, Module>();

export default class Module {
  static readonly createRequire = (from: string): Require => {
    const folder = path.dirname(from);
    return (name) => {
      const own = builtIn(name.replace(/^node:/, ""));
      if (own) return own;
      const file = resolve(name, folder);
      if (!file) throw Object.assign(new Error(`Cannot find module '${name}'`), { code: "MODULE_NOT_FOUND" });
      return (loaded.get(file) ?? load(file)).exports;
    };
  };
  static readonly _nodeModulePaths = () => [];

  exports: unknown = {};
  require: Require;

  constructor(readonly filename: string) {
    this.require = Module.createRequire(filename);
  }

  _compile(code: string, filename: string): void {
    const run = vm.runInThisContext(
      `(function (exports, require, module, __filename, __dirname) {${code}\n})`,
    );
    run(this.exports, this.require, this, filename, path.dirname(filename));
  }
}

function load(file: string): Module {
  const module = new Module(file);
  loaded.set(file, module);
  const code = files.moduleCode(file);
  if (file.endsWith(".json")) module.exports = JSON.parse(files.text(file));
  else if (code) code(module.exports as object, module.require, module, file, path.dirname(file));
  else module._compile(files.text(file), file);
  return module;
}

/** The file that a name means in a folder. */
function resolve(name: string, folder: string): string | undefined {
  if (/^[./]/.test(name)) return fileOf(path.resolve(folder, name));
  for (let at = folder; ; at = path.dirname(at)) {
    const found = fileOf(path.join(at, "node_modules", name));
    if (found || at === "/") return found;
  }
}

function fileOf(place: string): string | undefined {
  const manifest = path.join(place, "package.json");
  const main = files.isFile(manifest) ? JSON.parse(files.text(manifest)).main : undefined;
  const candidates = [place, `${place}.js`, `${place}.json`, path.join(place, main ?? "index.js")];
  return candidates.find((file) => files.isFile(file));
}
