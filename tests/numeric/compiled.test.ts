import { describe, expect, it } from "vitest";
import { spectraWasm } from "../../lib/measurement/spectra/spectra.generated";
import { compiled } from "../../lib/numeric/compiled";

type Code = Record<"forward", (...args: number[]) => void>;

describe("scratch memory of compiled code", () => {
  it("is zeroed again for the next one after it was given back", () => {
    const scratchOf = compiled<Code>(spectraWasm);
    const first = scratchOf(2000, 2);
    const before = first?.doubles(1000).fill(7);
    first?.release();
    const second = scratchOf(1500, 2);
    const after = second?.doubles(1000);
    expect(after?.buffer).toBe(before?.buffer);
    expect(after?.every((x) => x === 0)).toBe(true);
  });

  it("is another one as long as it is not given back, and where the last is too small", () => {
    const scratchOf = compiled<Code>(spectraWasm);
    const first = scratchOf(2000, 1);
    const second = scratchOf(2000, 1);
    expect(second?.doubles(1).buffer).not.toBe(first?.doubles(1).buffer);
    second?.release();
    expect(scratchOf(200_000, 1)?.doubles(200_000).length).toBe(200_000);
  });

  it("gives arrays that begin where a vector may and leave each other alone", () => {
    const scratch = compiled<Code>(spectraWasm)(20, 4);
    const arrays = [scratch?.doubles(3), scratch?.floats(5), scratch?.doubles(7)];
    arrays.forEach((array, i) => {
      array?.fill(i + 1);
    });
    expect(arrays.map((array) => (array?.byteOffset ?? 1) % 16)).toEqual([0, 0, 0]);
    expect(arrays.map((array) => Array.from(array ?? []))).toEqual([
      [1, 1, 1],
      [2, 2, 2, 2, 2],
      [3, 3, 3, 3, 3, 3, 3],
    ]);
  });

  it("is refused beyond what was asked for", () => {
    const scratch = compiled<Code>(spectraWasm)(100, 1);
    expect(() => scratch?.doubles(10_000)).toThrow("scratch memory is full");
  });

  it("is undefined where the engine does not take the code", () => {
    expect(compiled<Code>(btoa("no module"))(1, 1)).toBeUndefined();
  });
});
