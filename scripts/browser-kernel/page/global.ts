/** Lets a page's scripts start the kernel. */
import { startBrowserKernel } from "./kernel";

Object.assign(globalThis, { evengroundKernel: startBrowserKernel });
