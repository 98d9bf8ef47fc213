import { describe, expect, test } from "vitest";
import { readBands } from "../../../lib/lesson/reading/bands";
import { readChange } from "../../../lib/lesson/reading/change";
import { readHeard } from "../../../lib/lesson/reading/heard";
import { readPlace } from "../../../lib/lesson/reading/place";
import { Ambiguous } from "../../../lib/lesson/reading/quantities";
import { heldBack } from "./held-back";
import { byHand, combined, type Phrasing } from "./phrasings";

/** What is read of a line, in the form of the tables. */
function read([line, words]: Phrasing): unknown {
  try {
    if (line === "There") return readHeard(words);
    if (line === "Bands") return readBands(words).map((b) => [b.frequency_hz, b.heard_db]);
    const found = line === "Place" ? readPlace(words) : readChange(words);
    return Object.values(found);
  } catch (error) {
    if (error instanceof Ambiguous) return "ask";
    throw error;
  }
}
const wrong = (list: readonly Phrasing[]) =>
  list.flatMap((one) => {
    const found = JSON.stringify(read(one));
    return found === JSON.stringify(one[2])
      ? []
      : [`${one[0]}: ${one[1]} -> ${found}, not ${JSON.stringify(one[2])}`];
  });

describe("a hand-over in plain English", () => {
  test("is read as people mean it, or asked about", () => {
    expect(byHand.length + combined().length).toBeGreaterThan(300);
    expect(wrong(byHand)).toEqual([]);
  });

  test("is read the same however level, time and polarity are put together", () => {
    expect(wrong(combined())).toEqual([]);
  });

  test("is never taken for something else where it was not foreseen, and seldom asked about", () => {
    const missed = wrong(heldBack);

    expect(missed.filter((one) => !/-> "ask"/.test(one))).toEqual([]);
    expect(1 - missed.length / heldBack.length).toBeGreaterThan(0.9);
  });
});
