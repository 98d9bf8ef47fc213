/**
 * Node.js' `worker_threads`: threads of the kernel's own, where the page is isolated and so may share memory. One that
 * can't start, or only once this one rests, leaves its work to the others.
 */
import { files } from "../worker/course";

class Thread {
  private readonly worker: Worker;

  constructor(file: string, { workerData }: { readonly workerData: unknown }) {
    const code = `onmessage = ({ data: workerData }) => {
  const require = () => ({ parentPort: self, workerData });
  const module = { exports: {} };
  (function (exports, require, module) {${files.text(file)}
  })(module.exports, require, module);
};`;
    this.worker = new Worker(URL.createObjectURL(new Blob([code], { type: "text/javascript" })));
    this.worker.postMessage(workerData);
  }

  on(event: "error", listener: (error: unknown) => void): void {
    this.worker.addEventListener(event, listener);
  }

  /** A thread of Node.js' keeps its program alive unless it is told not to; here none does. */
  unref(): void {}

  terminate(): void {
    this.worker.terminate();
  }
}

export default { Worker: Thread, isMainThread: true };
