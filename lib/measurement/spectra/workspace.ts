/** Memory that the compiled transform and its sums work in: the source is scripts/assembly/spectra.ts. */
import { compiled, type Scratch } from "../../numeric/compiled";
import { spectraWasm } from "./spectra.generated";

/** What the module exports; arrays are told by their byte offsets. */
type Code = Record<
  "forward" | "inverse" | "windowed" | "addReference" | "addMicrophones" | "filtered",
  (...offsets: number[]) => void
>;

const scratchOf = compiled<Code>(spectraWasm);

/**
 * Memory for so many doubles.
 *
 * @param doubles  how many will be taken in all
 * @param arrays  in how many arrays
 * @throws Error where there is no WebAssembly SIMD
 */
export function workspace(doubles: number, arrays: number): Scratch<Code> {
  const scratch = scratchOf(doubles, arrays);
  if (!scratch) throw new Error("spectra need WebAssembly with SIMD, which this browser lacks: update it");
  return scratch;
}
