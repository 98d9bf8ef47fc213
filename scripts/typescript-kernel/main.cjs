// @ts-check
/**
 * Starts the TypeScript kernel for the lessons: sooner than it would by itself, and with errors that speak of the cell
 * alone. Jupyter runs this file; its arguments are the kernel's own.
 */
const { createRequire } = require("node:module");
const path = require("node:path");
const { begin } = require("./begin.cjs");
const { prepared } = require("./compiler.cjs");

begin(() => {
  const compiler = require.resolve("@tslab/typescript-for-tslab", {
    paths: [require.resolve("tslab/package.json")],
  });
  const typescript = require(compiler);
  const loaded = require.cache[compiler];
  if (loaded) loaded.exports = prepared(typescript, path.dirname(compiler));
  const zeromq = createRequire(require.resolve("tslab/package.json"))("zeromq");
  return { ...require("tslab/dist/main.js"), ...require("tslab/dist/jupyter.js"), typescript, zeromq };
});
