/** What Node.js and a browser both offer beyond the language: all that code may use which runs in either. */
declare namespace WebAssembly {
  function validate(bytes: Uint8Array): boolean;
  class Module {
    constructor(bytes: Uint8Array);
  }
  class Memory {
    constructor(limits: { initial: number; maximum?: number });
    readonly buffer: ArrayBuffer;
    grow(pages: number): number;
  }
  class Instance {
    constructor(module: Module, imports?: Record<string, Record<string, unknown>>);
    readonly exports: Record<string, unknown>;
  }
}
declare function atob(base64: string): string;
declare var performance: { now(): number };
