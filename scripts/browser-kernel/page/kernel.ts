/** The kernel as a page has it: a worker that is asked and answers in Jupyter's messages, and can be ended at any time. */
import type { Kernel, Message, Reply } from "../../notebook/kernel";

/** Names of the kernel's parts, of which the first two are needed at once. */
declare const evengroundKernelParts: readonly string[];

export interface BrowserKernel extends Kernel {
  /** As `execute`, with the whole reply. */
  run(code: string, onMessage: (message: Message) => void): Promise<Reply>;
  /** Gets ready for the first cell, where there is time before it. */
  warm(): Promise<unknown>;
  /** Gives a file to the kernel, as one that was written before. */
  give(path: string, bytes: Uint8Array): void;
  /** Lets cells read a file of the reader's, in the slices that they ask for. */
  attach(path: string, file: File): void;
}

export interface Options {
  /** The folder of the kernel's files, an address that ends with a slash. */
  readonly base: string;
  /** Hears what cells write into files; nothing as the bytes of one that is removed. */
  readonly onFile?: (path: string, bytes: Uint8Array | undefined) => void;
}

/** @returns once it answers */
export async function startBrowserKernel({ base, onFile = () => {} }: Options): Promise<BrowserKernel> {
  const worker = new Worker(await programOf(base));
  const waiting = new Map<
    string,
    { readonly onMessage: (message: Message) => void; readonly replied: (reply: Reply) => void }
  >();
  const ready = new Promise<void>((resolve, reject) => {
    worker.addEventListener("error", (event) =>
      reject(new Error(`the kernel can't start: ${event.message}`)),
    );
    worker.addEventListener("message", ({ data }) => {
      if (data.msg_type === "ready") resolve();
      else if (data.msg_type === "file") onFile(data.path, data.bytes);
      else if (data.msg_type.endsWith("_reply")) {
        waiting.get(data.id)?.replied(data.content);
        waiting.delete(data.id);
      } else waiting.get(data.id)?.onMessage(data);
    });
  });
  await ready;
  let last = 0;
  const ask = (msg_type: string, content: object, onMessage: (message: Message) => void = () => {}) =>
    new Promise<Reply>((replied) => {
      const id = String(++last);
      waiting.set(id, { onMessage, replied });
      worker.postMessage({ id, msg_type, content });
    });
  const run: BrowserKernel["run"] = (code, onMessage) =>
    ask("execute_request", { code, stop_on_error: false }, onMessage);
  return {
    reply: ask,
    run,
    execute: async (code, onMessage) => (await run(code, onMessage)).status ?? "ok",
    warm: () => ask("warm_request", {}),
    give: (path, bytes) => worker.postMessage({ msg_type: "file", path, bytes }),
    attach: (path, file) => worker.postMessage({ msg_type: "file", path, file }),
    stop: async () => {
      worker.terminate();
      for (const { replied } of waiting.values()) replied({ status: "dead" });
      waiting.clear();
    },
  };
}

/**
 * The worker's program. It is made in the page, so that the page's content security policy holds for it, and so that it
 * starts from a disk, from where browsers start no worker: there the page itself loads all parts beforehand.
 */
async function programOf(base: string): Promise<string> {
  const begin = "evengroundPacks.kernel();";
  const lines = base.startsWith("file:")
    ? ['self.evengroundPacks = {}; self.evengroundBase = "";', ...(await loadedInPage(base)), begin]
    : [
        `self.evengroundPacks = {}; self.evengroundBase = ${JSON.stringify(base)};`,
        `importScripts(${evengroundKernelParts.slice(0, 2).map((name) => JSON.stringify(`${base}${name}.js`))});`,
        begin,
      ];
  return URL.createObjectURL(new Blob([lines.join("\n")], { type: "text/javascript" }));
}

type Packs = { [name: string]: () => unknown };

async function loadedInPage(base: string): Promise<string[]> {
  const scope = globalThis as unknown as { evengroundPacks?: Packs };
  scope.evengroundPacks ??= {};
  const packs = scope.evengroundPacks;
  await Promise.all(
    evengroundKernelParts.filter((name) => !packs[name]).map((name) => load(`${base}${name}.js`)),
  );
  return evengroundKernelParts.map((name) => `evengroundPacks[${JSON.stringify(name)}] = ${packs[name]};`);
}

const load = (address: string) =>
  new Promise<void>((resolve, reject) => {
    const script = document.createElement("script");
    script.src = address;
    script.onload = () => resolve();
    script.onerror = () => reject(new Error(`${address} could not be read`));
    document.head.append(script);
  });
