import { expect, test } from "vitest";
import { readHandOver } from "../../../lib/lesson/capstones/hand-over";
import { readPolarity } from "../../../lib/lesson/reading/polarity";

test("polarity is understood in every usual word, and as 1 or −1", () => {
  for (const word of ["inverted", "Reversed", "flipped", "negative", "turned", "-1", "−1", -1])
    expect(readPolarity(word), String(word)).toBe("inverted");
  for (const word of ["normal", "Positive", "as it is", "not inverted", "1", "+1", 1])
    expect(readPolarity(word), String(word)).toBe("normal");
});

test("no polarity is read where none is stated, or both are", () => {
  for (const word of ["", "maybe", "normal or inverted", "2", 0, null, undefined, true])
    expect(readPolarity(word), String(word)).toBeUndefined();
});

test("a hand-over's level and delay are not taken for its polarity", () => {
  const handOver = (subs: string) =>
    readHandOver(`Subs: ${subs}\nPlace: x 20, y 0\nThere: 0 dB\nBands: none`).setting.polarity;
  expect(handOver("-1 dB, 1 ms later, polarity normal")).toBe("normal");
  expect(handOver("+1 dB, -1 ms, polarity flipped")).toBe("inverted");
  expect(handOver("-1 dB, 1 ms later, polarity +1")).toBe("normal");
  expect(() => handOver("-1 dB, 1 ms later")).toThrow(/does not say whether the polarity/);
});
