/**
 * Memory that the compiled transform works in, and the transform itself.
 *
 * The WebAssembly module is a few kilobytes, held as text and compiled once; workspaces that are released are used
 * again, since each one reserves address space.
 */
import { spectraWasm } from "./spectra.generated";

/** What scripts/assembly/spectra.ts exports; every argument but the lengths is a byte offset. */
export interface SpectraKernel {
  forward(re: number, im: number, workRe: number, workIm: number, turns: number, n: number): void;
  windowed(
    a: number,
    b: number,
    window: number,
    re: number,
    im: number,
    workRe: number,
    workIm: number,
    turns: number,
    n: number,
  ): void;
  addReference(re: number, im: number, n: number, ...sums: number[]): void;
  addMicrophones(re: number, im: number, n: number, ...sums: number[]): void;
}

export interface Workspace {
  readonly kernel: SpectraKernel;
  /** Sets doubles aside, zeroed, and tells where they are: byte offset and view. */
  take(doubles: number): { readonly at: number; readonly values: Float64Array };
  /** Gives the memory back; views of it must not be used any more. */
  release(): void;
}

interface Instance {
  readonly memory: WebAssembly.Memory;
  readonly kernel: SpectraKernel;
}

const pageBytes = 65536;
/** The compiler keeps its few constants below this offset. */
const firstFree = 1024;
/**
 * Bytes between one array and the next. Arrays of a power of two in length would otherwise begin at the same place of a
 * page, and a loop that reads a dozen of them would find them all in one set of the cache, which holds eight.
 */
const skew = 1088;
const idle: Instance[] = [];
let kernelModule: WebAssembly.Module | undefined;

/**
 * A workspace for so many doubles.
 *
 * @param doubles  how many will be taken in all
 * @param arrays  in how many arrays
 */
export function workspace(doubles: number, arrays: number): Workspace {
  const pages = Math.ceil((firstFree + 8 * doubles + (skew + 16) * arrays) / pageBytes);
  // Never grown: that would detach the old memory's buffer, after which V8 compiles every typed array slower. One that is
  // too small makes room for a larger one.
  const last = idle.pop();
  const instance = last && pagesOf(last) >= pages ? last : instantiate(pages);
  let next = firstFree;
  return {
    kernel: instance.kernel,
    take(count) {
      const at = next;
      next = ((at + 8 * count + 15) & ~15) + skew;
      if (next > instance.memory.buffer.byteLength)
        throw new RangeError(`workspace is full after ${count} doubles`);
      const values = new Float64Array(instance.memory.buffer, at, count);
      values.fill(0);
      return { at, values };
    },
    release() {
      if (idle.length < 4) idle.push(instance);
      idle.sort((a, b) => pagesOf(a) - pagesOf(b));
    },
  };
}

const pagesOf = ({ memory }: Instance): number => memory.buffer.byteLength / pageBytes;

function instantiate(pages: number): Instance {
  kernelModule ??= new WebAssembly.Module(Uint8Array.from(atob(spectraWasm), (c) => c.charCodeAt(0)));
  const memory = new WebAssembly.Memory({ initial: pages });
  const { exports } = new WebAssembly.Instance(kernelModule, { env: { memory } });
  return { memory, kernel: exports as unknown as SpectraKernel };
}
