/** The browser's kernel in a thread of Node.js, which gets the few things that a browser's worker has. */
import { Worker } from "node:worker_threads";
import type { Message, Reply } from "../../../scripts/notebook/kernel";

const workerScope = `
const { parentPort } = require("node:worker_threads");
const { readFileSync } = require("node:fs");
const vm = require("node:vm");
self = globalThis;
postMessage = (message) => parentPort.postMessage(message);
addEventListener = (event, listener) => event === "message" && parentPort.on("message", (data) => listener({ data }));
importScripts = (...files) => files.forEach((file) => vm.runInThisContext(readFileSync(file, "utf8"), { filename: file }));
evengroundPacks = {};
`;

/** @param folder  the kernel's files */
export async function kernelInNode(folder: string) {
  const worker = new Worker(
    `${workerScope}
evengroundBase = ${JSON.stringify(`${folder}/`)};
importScripts(evengroundBase + "kernel.js", evengroundBase + "library.js");
evengroundPacks.kernel();`,
    { eval: true },
  );
  const files: { readonly path: string; readonly bytes?: Uint8Array }[] = [];
  const waiting = new Map<
    string,
    { onMessage: (message: Message) => void; replied: (reply: Reply) => void }
  >();
  await new Promise<void>((resolve, reject) => {
    worker.on("error", reject);
    worker.on("message", (message) => {
      if (message.msg_type === "ready") resolve();
      else if (message.msg_type === "file") files.push(message);
      else if (message.msg_type.endsWith("_reply")) waiting.get(message.id)?.replied(message.content);
      else waiting.get(message.id)?.onMessage(message);
    });
  });
  let last = 0;
  const ask = (type: string, content: object, onMessage: (message: Message) => void = () => {}) =>
    new Promise<Reply>((replied) => {
      const id = String(++last);
      waiting.set(id, { onMessage, replied });
      worker.postMessage({ id, msg_type: type, content });
    });
  return {
    files,
    reply: ask,
    give: (path: string, bytes: Uint8Array) => worker.postMessage({ msg_type: "file", path, bytes }),
    execute: async (code: string, onMessage: (message: Message) => void) =>
      (await ask("execute_request", { code, stop_on_error: false }, onMessage)).status ?? "ok",
    stop: async () => void (await worker.terminate()),
  };
}
