/** Node.js' `process`, as far as the kernel, the library and the lessons look at it. */
import { root } from "../worker/course";

type Write = (text: string) => boolean;
const silent: Write = () => true;

export const process = {
  // The language of cells goes by it: what Node.js 20 understands, each browser of today does too.
  version: "v20.0.0",
  versions: { node: "20.0.0" },
  platform: "linux",
  arch: "wasm",
  env: {},
  argv: [],
  pid: 1,
  cwd: () => root,
  on: () => process,
  emit: () => false,
  exit: () => {
    throw new Error("a cell can't end the kernel: choose Restart instead");
  },
  hrtime: Object.assign(() => [0, 0], { bigint: () => BigInt(Math.round(performance.now() * 1e6)) }),
  memoryUsage: () => ({ rss: 0, heapTotal: 0, heapUsed: 0, external: 0 }),
  nextTick: (task: () => void) => queueMicrotask(task),
  /** The kernel sets these anew for each cell. */
  stdout: { write: silent },
  stderr: { write: silent },
};
