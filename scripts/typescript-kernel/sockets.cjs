// @ts-check
/**
 * Sockets in a folder of their owner, where another account of the machine can't listen in. Jupyter names such a socket by
 * its path, a dash and a number; the kernel writes a colon before the number.
 */

/** @param {any} zeromq */
function nameSocketsAsJupyter(zeromq) {
  for (const kind of [zeromq.Router, zeromq.Publisher, zeromq.Reply]) {
    const { bind } = kind.prototype;
    Object.defineProperty(kind.prototype, "bind", {
      value(/** @type {string} */ address) {
        return bind.call(this, address.replace(/^(ipc:.*):(\d+)$/, "$1-$2"));
      },
    });
  }
}

module.exports = { nameSocketsAsJupyter };
