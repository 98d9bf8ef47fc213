/** The kernel of this page: started when it is first wanted, ended when a cell is stopped. */
import type { BrowserKernel, startBrowserKernel } from "../../../browser-kernel/page/kernel";
import { keepFile, keptFiles } from "./kept";

declare const evengroundKernel: typeof startBrowserKernel;

/** Where the kernel has the course. */
const course = "/course/";

export interface Session {
  kernel(): Promise<BrowserKernel>;
  /** Ends it; what the cells had computed is gone. */
  stop(): Promise<void>;
  /** Whether it is there, or on its way. */
  readonly isOpen: boolean;
  attach(recordings: readonly File[]): Promise<void>;
}

/** @param onFile  hears of a file that a cell has written, or removed */
export function openSession(onFile: (name: string, bytes: Uint8Array | undefined) => void): Session {
  let started: Promise<BrowserKernel> | undefined;
  let recordings: readonly File[] = [];
  const start = async () => {
    const kernel = await evengroundKernel({
      base: new URL("kernel/", document.baseURI).href,
      onFile: (path, bytes) => {
        // Drafts are written beside a file before they take its place.
        if (/\/\.[^/]*$/.test(path)) return;
        void keepFile(path, bytes).catch(() => {});
        onFile(path.replace(course, ""), bytes);
      },
    });
    for (const [path, bytes] of await keptFiles().catch(() => new Map())) kernel.give(path, bytes);
    giveAll(kernel);
    return kernel;
  };
  const giveAll = (kernel: BrowserKernel) => {
    for (const file of recordings) kernel.attach(`${course}${file.webkitRelativePath}`, file);
  };
  return {
    kernel: () => (started ??= start()),
    stop: async () => {
      const ending = started;
      started = undefined;
      await (await ending)?.stop();
    },
    get isOpen() {
      return started !== undefined;
    },
    attach: async (files) => {
      recordings = [...recordings, ...files];
      if (started) giveAll(await started);
    },
  };
}
