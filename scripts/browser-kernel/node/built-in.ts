/** Node.js' own modules as a cell in a browser finds them. */

import { Buffer } from "node:buffer";
import path from "node:path";
import crypto from "./crypto";
import fs from "./fs";
import os from "./os";
import util from "./util";

const modules: { readonly [name: string]: unknown } = {
  buffer: { Buffer },
  crypto,
  fs,
  os,
  path,
  process: globalThis.process,
  util,
  worker_threads: {},
};

export const builtIn = (name: string): unknown => (Object.hasOwn(modules, name) ? modules[name] : undefined);
