/** What stands in for packages that danfojs names: its methods, with results worked by hand. */
import { createRequire } from "node:module";
import { describe, expect, it } from "vitest";

const danfo = createRequire(__filename)("danfojs-node");
const frame = () =>
  new danfo.DataFrame([
    { a: 1, b: 4 },
    { a: 2, b: 5.5 },
    { a: -3, b: 6 },
  ]);

describe("a data frame's arithmetic", () => {
  it.each([
    [
      "add",
      0.5,
      [
        [1.5, 4.5],
        [2.5, 6],
        [-2.5, 6.5],
      ],
    ],
    [
      "sub",
      1,
      [
        [0, 3],
        [1, 4.5],
        [-4, 5],
      ],
    ],
    [
      "mul",
      -2,
      [
        [-2, -8],
        [-4, -11],
        [6, -12],
      ],
    ],
    [
      "div",
      2,
      [
        [0.5, 2],
        [1, 2.75],
        [-1.5, 3],
      ],
    ],
    [
      "pow",
      2,
      [
        [1, 16],
        [4, 30.25],
        [9, 36],
      ],
    ],
    [
      "mod",
      2,
      [
        [1, 0],
        [0, 1.5],
        [1, 0],
      ],
    ],
  ])("%s a number", (name, value, expected) => {
    expect(frame()[name](value).values).toEqual(expected);
  });

  it("goes row by row, column by column, or frame by frame", () => {
    expect(frame().mul([2, 3], { axis: 1 }).values).toEqual([
      [2, 12],
      [4, 16.5],
      [-6, 18],
    ]);
    expect(frame().div([1, 2, 4], { axis: 0 }).values).toEqual([
      [1, 4],
      [1, 2.75],
      [-0.75, 1.5],
    ]);
    expect(frame().sub(frame()).values).toEqual([
      [0, 0],
      [0, 0],
      [0, 0],
    ]);
    expect(() => frame().add([1, 2, 3, 4], { axis: 1 })).toThrow();
  });

  it("keeps double precision: a level of a third of a decibel stays one", () => {
    expect(frame().add(1 / 3).values[0][0]).toBe(1 + 1 / 3);
  });
});

it("a data frame compares", () => {
  expect(frame().gt(2).values).toEqual([
    [false, true],
    [false, true],
    [false, true],
  ]);
  expect(frame().le(-3).values).toEqual([
    [false, false],
    [false, false],
    [true, false],
  ]);
  expect(frame().eq(frame()).values.flat()).toEqual(Array(6).fill(true));
  expect(frame().ne(4).values).toEqual([
    [true, false],
    [true, true],
    [true, true],
  ]);
});

it("a column finds where it is highest and lowest", () => {
  expect(frame().column("a").argMax()).toBe(1);
  expect(frame().column("a").argMin()).toBe(2);
});

it("scalers take mean and population deviation, least and most, from each column", () => {
  const b = frame().loc({ columns: ["b"] });
  // of 4, 5.5, 6: mean 31/6, mean square deviation 13/18
  const deviation = Math.sqrt(13 / 18);
  const scaled = new danfo.StandardScaler().fitTransform(b).values.flat();
  for (const [i, value] of [4, 5.5, 6].entries())
    expect(scaled[i]).toBeCloseTo((value - 31 / 6) / deviation, 12);
  expect(new danfo.MinMaxScaler().fitTransform(frame()).values).toEqual([
    [0.8, 0],
    [1, 0.75],
    [0, 1],
  ]);
});

it("rows drawn at random are of the frame, each once, and the same for the same seed", async () => {
  const rows = new danfo.DataFrame(Array.from({ length: 40 }, (_, i) => ({ i })));
  const drawn = async (seed: number) => (await rows.sample(20, { seed })).values.flat();
  expect(new Set(await drawn(1)).size).toBe(20);
  expect(await drawn(1)).toEqual(await drawn(1));
  expect(await drawn(1)).not.toEqual(await drawn(2));
});

it("an address on the network is refused in a sentence, without asking for it", async () => {
  await expect(danfo.readCSV("https://nowhere.invalid/a.csv")).rejects.toThrow("read files, not addresses");
});
