// @ts-check
/**
 * Replies to a failed cell as Jupyter's messaging protocol 5 has them: with the error's name and message, and with what
 * comes after it run all the same where whoever asked said so, as those do who mark a notebook.
 *
 * @source https://jupyter-client.readthedocs.io/en/stable/messaging.html, "Execute"
 */

/** @param {any} handler  the kernel's class that answers messages */
function replyInFull(handler) {
  const { handleExecute } = handler.prototype;
  /**
   * @this {any}
   * @param {{ stop_on_error?: boolean }} request
   * @param {(name: string, text: string) => void} writeStream
   * @param {unknown} writeDisplayData
   */
  handler.prototype.handleExecute = async function (request, writeStream, writeDisplayData) {
    let said = "";
    const listen = (/** @type {string} */ name, /** @type {string} */ text) => {
      if (name === "stderr") said += text;
      writeStream(name, text);
    };
    const reply = await handleExecute.call(this, request, listen, writeDisplayData);
    if (reply.status !== "error") return reply;
    if (request.stop_on_error === false) this.execQueue.reset();
    const lines = said.trim().split("\n");
    const [, name, message] = /^(\w*Error): (.*)$/.exec(lines[0]) ?? [undefined, "Error", lines[0]];
    return { ...reply, ename: name, evalue: message, traceback: lines };
  };
}

module.exports = { replyInFull };
