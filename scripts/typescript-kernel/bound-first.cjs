// @ts-check
/**
 * No message is taken before every socket is bound. A question may lie waiting for the kernel, and comes in as soon as the
 * first socket is there; the answer then needs others, and one that is being bound refuses it: the kernel would stay silent,
 * and Jupyter wait a minute for it.
 */

/**
 * @param {any} server  the kernel's class that has the sockets
 * @param {any} zeromq
 */
function receiveOnceBound(server, { Router, Reply }) {
  /** @type {Promise<unknown>} */
  let bound = Promise.resolve();
  const { bindSocket } = server.prototype;
  /**
   * @this {any}
   * @param {any} socket
   * @param {number} port
   */
  server.prototype.bindSocket = function (socket, port) {
    const binding = bindSocket.call(this, socket, port);
    bound = Promise.all([bound, binding]);
    return binding;
  };
  for (const { prototype } of [Router, Reply]) {
    const { receive } = prototype;
    Object.defineProperty(prototype, "receive", {
      async value() {
        await undefined; // the kernel wishes to receive first, and then binds all of them at once
        await bound;
        return receive.call(this);
      },
    });
  }
}

module.exports = { receiveOnceBound };
