// @ts-check
/**
 * Takes the wish to stop a cell as a message too. Jupyter sends a signal, which Windows does not have; there the kernel's
 * description asks for the message (`interrupt_mode` in `scripts/setup/kernel.mjs`). Like the signal it ends what waits, not a
 * loop that never rests.
 *
 * @source https://jupyter-client.readthedocs.io/en/stable/messaging.html, "Kernel interrupt" and "The wire protocol"
 */
const { createHmac, randomUUID, timingSafeEqual } = require("node:crypto");

const delimiter = Buffer.from("<IDS|MSG>");

/**
 * @param {any} server  the kernel's class that receives messages
 * @param {() => void} [interrupt]
 */
function takeInterrupts(server, interrupt = () => process.emit("SIGINT")) {
  const { handleShellMessage } = server.prototype;
  /**
   * @this {{ connInfo: { key: string } }}
   * @param {{ send: (frames: unknown[]) => unknown }} socket
   * @param {Buffer[]} frames
   */
  server.prototype.handleShellMessage = async function (socket, ...frames) {
    const start = frames.findIndex((frame) => frame.equals(delimiter));
    const [signature, ...parts] = frames.slice(start + 1);
    const header = JSON.parse(String(parts[0]));
    if (header.msg_type !== "interrupt_request") return handleShellMessage.call(this, socket, ...frames);
    const { key } = this.connInfo;
    const sign = (/** @type {(Buffer | string)[]} */ signed) => {
      const hash = createHmac("sha256", key);
      for (const part of signed) hash.update(part);
      return Buffer.from(key ? hash.digest("hex") : "");
    };
    const expected = sign(parts.slice(0, 4));
    if (expected.length !== signature.length || !timingSafeEqual(expected, signature)) return;
    interrupt();
    const replied = {
      ...header,
      msg_id: randomUUID(),
      date: new Date().toISOString(),
      msg_type: "interrupt_reply",
    };
    const reply = [replied, header, {}, { status: "ok" }].map((part) => JSON.stringify(part));
    await socket.send([...frames.slice(0, start + 1), sign(reply), ...reply]);
  };
}

module.exports = { takeInterrupts };
