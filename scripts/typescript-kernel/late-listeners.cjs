// @ts-check
/**
 * Whoever begins to listen hears the kernel's state again. Where a kernel is started anew Jupyter asks at once and may listen a
 * moment after the answer; the page would show a kernel in no known state until a cell is run.
 */

/** From the first contact until what a listener wants to hear is known, milliseconds. */
const acquaintance = 50;

/** @param {any} server  the kernel's class that has the sockets */
function tellLateListeners(server) {
  /** @type {unknown[] | undefined} */
  let last;
  const { bindSocket, publishStatus } = server.prototype;
  /**
   * @this {any}
   * @param {unknown[]} told
   */
  server.prototype.publishStatus = function (...told) {
    last = told;
    return publishStatus.apply(this, told);
  };
  /**
   * @this {any}
   * @param {any} socket
   * @param {number} port
   */
  server.prototype.bindSocket = function (socket, port) {
    if (socket === this.iopub)
      socket.events.on("handshake", () =>
        setTimeout(() => {
          if (last && !socket.closed) publishStatus.apply(this, last);
        }, acquaintance),
      );
    return bindSocket.call(this, socket, port);
  };
}

module.exports = { tellLateListeners };
