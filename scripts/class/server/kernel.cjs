// @ts-check
/**
 * The kernel behind sockets in its student's own folder, where another account of the machine can't listen in.
 *
 * Jupyter names such a socket by its path, a dash and a number; the kernel writes a colon before the number.
 */
const { createRequire } = require("node:module");
const path = require("node:path");

const main = path.join(__dirname, "..", "..", "typescript-kernel", "main.cjs");
const zeromq = createRequire(require.resolve("tslab/package.json"))("zeromq");
for (const kind of [zeromq.Router, zeromq.Publisher, zeromq.Reply]) {
  const bind = kind.prototype.bind;
  Object.defineProperty(kind.prototype, "bind", {
    value(/** @type {string} */ address) {
      return bind.call(this, address.replace(/^(ipc:.*):(\d+)$/, "$1-$2"));
    },
  });
}
// The kernel looks at its arguments: the first is the file that it believes to be.
process.argv[1] = main;
require(main);
