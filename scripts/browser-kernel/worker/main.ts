/**
 * The kernel in a browser's worker: the one that is installed, compiler and all, over files that come with the page. It
 * takes and gives Jupyter's messages, without its sockets.
 */
import "./globals";
import * as ts from "@tslab/typescript-for-tslab";
import { createConverter } from "tslab/dist/converter.js";
import { createExecutor, createRequire } from "tslab/dist/executor.js";
import { JupyterHandlerImpl } from "tslab/dist/jupyter.js";
import { speakPlainly } from "../../typescript-kernel/plain-errors.cjs";
import { replyInFull } from "../../typescript-kernel/replies.cjs";
import { takeConsole } from "./console";
import { files, openCourse, post, root } from "./course";
import type { Source } from "./files";
import { writeStacksPlainly } from "./stacks";

interface Request {
  readonly id: string;
  readonly msg_type: string;
  readonly content: never;
}

/** One that was written before, as bytes, or one of the reader's. */
interface GivenFile {
  readonly msg_type: "file";
  readonly path: string;
  readonly bytes?: Uint8Array;
  readonly file?: File;
}

takeConsole();
openCourse();
speakPlainly();
writeStacksPlainly();
replyInFull(JupyterHandlerImpl, ts);

const node = createConverter({ isJS: false, isBrowser: false });
const executor = createExecutor(
  root,
  { node, browser: node, close() {} },
  { log: console.log, error: console.error },
);
const handler = new JupyterHandlerImpl(executor, false);

function take({ path, bytes, file }: GivenFile): void {
  if (bytes) files.restore(path, bytes);
  if (file)
    files.add(
      path,
      Object.assign(() => sourceOf(file), { size: file.size }),
    );
}

/** What a worker has to read a file at once, as `readFileSync` must. */
declare class FileReaderSync {
  readAsArrayBuffer(part: Blob): ArrayBuffer;
}
const sourceOf = (file: File): Source => ({
  size: file.size,
  read: (start, end) => new Uint8Array(new FileReaderSync().readAsArrayBuffer(file.slice(start, end))),
});

const answers: { readonly [type: string]: (content: never) => unknown } = {
  kernel_info_request: () => handler.handleKernel(),
  complete_request: (content) => handler.handleComplete(content),
  inspect_request: (content) => handler.handleInspect(content),
  is_complete_request: (content) => handler.handleIsComplete(content),
  interrupt_request: () => executor.interrupt(),
  warm_request: warm,
};

/** Reads what the first cell will read, and compiles what it will run, while nobody waits for it. */
function warm(): void {
  node.convert("", 'import * as all from "evenground"; all;');
  createRequire(root)("evenground");
}

addEventListener("message", async ({ data }: MessageEvent<Request | GivenFile>) => {
  if (data.msg_type === "file") return take(data as GivenFile);
  const { id, msg_type: type, content } = data as Request;
  const say = (msg_type: string, said: unknown) => post({ id, msg_type, content: said });
  const reply =
    type === "execute_request"
      ? await handler.handleExecute(
          content,
          (name: string, text: string) => say("stream", { name, text }),
          (shown: object, update?: boolean) => say(update ? "update_display_data" : "display_data", shown),
        )
      : answers[type]?.(content);
  say(type.replace("_request", "_reply"), reply ?? {});
});
addEventListener("unhandledrejection", (event) => {
  event.preventDefault();
  console.error("UnhandledPromiseRejection:", event.reason);
});
post({ msg_type: "ready" });
