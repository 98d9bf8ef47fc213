/** What a cell may use of Node.js without importing a package: the names, with the types that matter in a lesson. */
interface Console {
  log(...data: unknown[]): void;
  info(...data: unknown[]): void;
  warn(...data: unknown[]): void;
  error(...data: unknown[]): void;
  table(data: unknown, columns?: string[]): void;
  time(label?: string): void;
  timeEnd(label?: string): void;
}
declare var console: Console;
declare var process: any;
declare var Buffer: any;
type Buffer = Uint8Array;
declare var performance: { now(): number };
declare var structuredClone: <T>(value: T) => T;
declare function setTimeout(callback: (...args: any[]) => void, milliseconds?: number, ...args: any[]): any;
declare function clearTimeout(timer: any): void;
declare function setInterval(callback: (...args: any[]) => void, milliseconds?: number, ...args: any[]): any;
declare function clearInterval(timer: any): void;
declare function require(name: string): any;
declare class TextEncoder {
  encode(text?: string): Uint8Array;
}
declare class TextDecoder {
  constructor(encoding?: string);
  decode(bytes?: ArrayBufferView | ArrayBuffer): string;
}
declare var URL: any;
type URL = any;

declare module "node:*";
declare module "fs";
declare module "fs/promises";
declare module "path";
declare module "os";
declare module "url";
declare module "util";
declare module "crypto";
declare module "child_process";
declare module "worker_threads";
declare module "perf_hooks";
