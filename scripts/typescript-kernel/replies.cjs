// @ts-check
/**
 * Replies as Jupyter's messaging protocol 5 has them. To a failed cell: with the error's name and message, and with what
 * comes after it run all the same where whoever asked said so, as those do who mark a notebook. To someone who writes:
 * with what may stand at the cursor, and what the name or the call there is about.
 *
 * @source https://jupyter-client.readthedocs.io/en/stable/messaging.html, "Execute", "Introspection", "Completion"
 */
const { completion } = require("./complete.cjs");
const { charactersOf, unitsOf } = require("./cursor.cjs");
const { lastProgram } = require("./one-checker.cjs");
const { tooltip } = require("./tooltip.cjs");

/**
 * @param {any} handler  the kernel's class that answers messages
 * @param {any} ts  the compiler that the kernel uses
 */
function replyInFull(handler, ts) {
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

  /**
   * @this {any}
   * @param {{ code: string, cursor_pos: number }} request
   */
  handler.prototype.handleInspect = function ({ code, cursor_pos }) {
    const at = unitsOf(code, cursor_pos);
    this.executor.inspect(code, at); // has the compiler read the cell
    const data = tooltip(ts, lastProgram(), code, at);
    return { status: "ok", found: data !== undefined, data: data ?? {}, metadata: {} };
  };

  /**
   * @this {any}
   * @param {{ code: string, cursor_pos: number }} request
   */
  handler.prototype.handleComplete = function ({ code, cursor_pos }) {
    const at = unitsOf(code, cursor_pos);
    const found = this.executor.complete(code, at);
    const { start, end, matches } = completion(ts, lastProgram(), code, at, found);
    const place = { start: charactersOf(code, start), end: charactersOf(code, end) };
    return {
      status: "ok",
      cursor_start: place.start,
      cursor_end: place.end,
      matches: matches.map(({ text }) => text),
      // JupyterLab shows these kinds beside the names.
      metadata: { _jupyter_types_experimental: matches.map((match) => ({ ...place, ...match })) },
    };
  };
}

module.exports = { replyInFull };
