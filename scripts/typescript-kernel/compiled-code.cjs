// @ts-check
/** Keeps what Node.js has compiled of large files between starts: half the time of loading them. */
const { createHash } = require("node:crypto");
const { mkdirSync, readFileSync, statSync, writeFileSync } = require("node:fs");
const Module = require("node:module");
const path = require("node:path");
const vm = require("node:vm");
const { rename } = require("../setup/patient-files.cjs");

const large = 500_000;

/** @param {string} folder  where it is kept */
function keepCompiledCode(folder) {
  const modules = /** @type {any} */ (Module);
  // Node.js 22 and newer do it by themselves.
  if (modules.enableCompileCache) {
    modules.enableCompileCache(folder);
    return;
  }
  const load = modules._extensions[".js"];
  modules._extensions[".js"] = (/** @type {any} */ module, /** @type {string} */ file) => {
    const { size, mtimeMs } = statSync(file);
    if (size < large) return load(module, file);
    const key = createHash("sha256")
      .update([file, size, mtimeMs, process.version, process.arch].join())
      .digest("hex");
    const kept = path.join(folder, `${key}.bin`);
    const script = new vm.Script(modules.wrap(readFileSync(file, "utf8")), {
      filename: file,
      cachedData: readOrNothing(kept),
    });
    const run = script.runInThisContext();
    run.call(module.exports, module.exports, Module.createRequire(file), module, file, path.dirname(file));
    if (!script.cachedData || script.cachedDataRejected) keep(kept, script.createCachedData());
  };
}

/** @param {string} file */
function readOrNothing(file) {
  try {
    return readFileSync(file);
  } catch {
    return undefined;
  }
}

/**
 * @param {string} file
 * @param {Buffer} bytes
 */
function keep(file, bytes) {
  try {
    mkdirSync(path.dirname(file), { recursive: true });
    writeFileSync(`${file}.${process.pid}`, bytes);
    rename(`${file}.${process.pid}`, file);
  } catch {
    // where nothing can be kept, the next start is no faster
  }
}

module.exports = { keepCompiledCode };
