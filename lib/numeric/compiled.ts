/**
 * Code compiled to WebAssembly with SIMD, and the memory that it works in.
 *
 * The code is kept as text and compiled when it is first used, so that the library loads at once in Node.js and in a browser.
 */

/** An instance of the code with memory of its own. */
export interface Scratch<Code> {
  readonly code: Code;
  /** Sets zeroed numbers aside; the compiled functions take their `byteOffset`. */
  doubles(count: number): Float64Array;
  floats(count: number): Float32Array;
  /** Gives the memory back for the next one; its arrays must not be used any more. */
  release(): void;
}

const PAGE = 65536;
/** The compiler keeps its constants below this offset. */
const FIRST_FREE = 1024;
/**
 * Bytes between one array and the next. Arrays of a power of two in length would otherwise begin at the same place of a
 * page, and a loop that reads a dozen of them would find them all in one set of the cache, which holds eight. Code that goes
 * two or four at a time may read and write there, beyond an array's end.
 */
const GAP = 1088;
/** Memory is reserved with every instance, so those given back are used again; so many are retained. */
const RETAINED = 4;

/**
 * Makes the function that makes scratch memory for a compiled module.
 *
 * @param base64  the module, as `npm run wasm` writes it
 * @returns takes the doubles wanted and in how many arrays (two floats count as a double); undefined where the engine has
 *   no WebAssembly SIMD
 */
export function compiled<Code>(
  base64: string,
): (doubles: number, arrays: number) => Scratch<Code> | undefined {
  let module: WebAssembly.Module | null | undefined;
  const idle: Instance<Code>[] = [];
  return (doubles, arrays) => {
    if (module === undefined) {
      const bytes = Uint8Array.from(atob(base64), (c) => c.charCodeAt(0));
      module = WebAssembly.validate(bytes) ? new WebAssembly.Module(bytes) : null;
    }
    if (!module) return undefined;
    const pages = Math.ceil((FIRST_FREE + 8 * doubles + (GAP + 16) * arrays) / PAGE);
    // Never grown: that would detach the old memory's buffer, after which V8 compiles every typed array slower. One that is
    // too small makes way for a larger one.
    const last = idle.pop();
    const used = last && pagesOf(last) >= pages ? last : undefined;
    const instance = used ?? instantiate<Code>(module, pages);
    const { buffer } = instance.memory;
    // New memory is zero, and none of the machine's until it is written to.
    const zeroed = <Numbers extends Float64Array | Float32Array>(numbers: Numbers) =>
      used ? (numbers.fill(0) as Numbers) : numbers;
    let next = FIRST_FREE;
    const take = (bytes: number): number => {
      const at = next;
      next = ((at + bytes + 15) & ~15) + GAP;
      if (next > buffer.byteLength) throw new RangeError(`scratch memory is full after ${bytes} bytes`);
      return at;
    };
    return {
      code: instance.code,
      doubles: (count) => zeroed(new Float64Array(buffer, take(8 * count), count)),
      floats: (count) => zeroed(new Float32Array(buffer, take(4 * count), count)),
      release() {
        if (idle.length < RETAINED) idle.push(instance);
        idle.sort((a, b) => pagesOf(a) - pagesOf(b));
      },
    };
  };
}

interface Instance<Code> {
  readonly memory: WebAssembly.Memory;
  readonly code: Code;
}

function instantiate<Code>(module: WebAssembly.Module, pages: number): Instance<Code> {
  const memory = new WebAssembly.Memory({ initial: pages });
  const { exports } = new WebAssembly.Instance(module, { env: { memory } });
  return { memory, code: exports as Code };
}

const pagesOf = ({ memory }: Instance<unknown>): number => memory.buffer.byteLength / PAGE;
