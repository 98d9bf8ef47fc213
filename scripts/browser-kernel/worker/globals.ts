/** What cells, the kernel and the packages that it loads find in the global scope. Imported before all else. */
import { Buffer } from "node:buffer";
import { process } from "../node/process";

Object.assign(globalThis, { Buffer, process, global: globalThis });
