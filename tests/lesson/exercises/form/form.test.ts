import { expect, test } from "vitest";
import { levelOffset } from "../../../../lib/decision/offset/offset";
import { catalogue, entryOf } from "../../../../lib/lesson/exercises/catalogue";
import { exerciseOf } from "../../../../lib/lesson/exercises/exercise";
import { form, formOf } from "../../../../lib/lesson/exercises/form/form";
import { positionsIn } from "../../../../lib/lesson/exercises/form/positions-in";
import { grade } from "../../../../lib/lesson/exercises/grade";

const named = ["row 1", "row 12", "row 4 centre", "row 4", "bar"].map((id) => ({
  id,
  point: { x: 1, y: 0, z: 1 },
}));

test("positions are read with and without commas, names before numbers, the longer name first", () => {
  expect(positionsIn("row 1, row 12; Row 4 Centre and bar", named)).toEqual([
    "row 1",
    "row 12",
    "row 4 centre",
    "bar",
  ]);
  expect(positionsIn("row 1 row 4 bar 3 -1.5", named)).toEqual(["row 1", "row 4", "bar", { x: 3, y: -1.5 }]);
  expect(positionsIn("{ x: 3, y: −2 } { x: 7 y: 0 }", named)).toEqual([
    { x: 3, y: -2 },
    { x: 7, y: 0 },
  ]);
  expect(() => positionsIn("row 1, rwo 4", named)).toThrow(/"rwo 4" is no position here, expected .*metres/);
});

test("a form does in a room what its lines say, whoever left them in another order or in capitals", () => {
  const room = () => exerciseOf(entryOf("cellar-level"), 3);
  const filled = "TARGET: 9 dB\nset the subs by: The opposite\nWho counts: all\n\nmeasure at: row 1 row 6";
  const way = form("cellar-level", filled);
  const expected = -levelOffset(room().measure(["row 1", "row 6"]), { targetTilt: 9 }).offset_db;
  expect(way(room())).toBeCloseTo(expected, 9);
  expect(way.words).toBe(
    "measure at: row 1 row 6\nwho counts: everybody\ntarget: 9\nset the subs by: the opposite",
  );
});

test("a line that is missing, unknown or not understood is told in a sentence with what was expected", () => {
  const lines = "measure at: row 1\nwho counts: everybody\ntarget: 6\nset the subs by: what was found";
  expect(() => form("cellar-level", lines.replace("target: 6", ""))).toThrow('the line "target: …" is empty');
  expect(() => form("cellar-level", lines.replace("everybody", "the bar"))).toThrow(
    /expected one of "everybody"/,
  );
  expect(() => form("cellar-level", lines.replace("6", "six"))).toThrow(
    /"target" is "six", expected a number/,
  );
  expect(() => form("cellar-level", `${lines}\nsubs: loud`)).toThrow(/"subs: loud" is no line of its form/);
  expect(() => form("hall-dip", lines)).toThrow("hall-dip has no form: write a function for it");
});

test("every form as it is handed out can be read, and passes nowhere", () => {
  for (const { id, venue } of catalogue) {
    const lines = formOf(id)?.map(({ key, standIn }) => `${key}: ${standIn}`);
    if (!lines) continue;
    const way = form(id, lines.join("\n"));
    if (venue === "ulverow-meadow") expect(grade(id, [1, 2], way).passed, id).toBe(false);
  }
});

test("who measures at the mix position alone gets an answer, and the hint that nobody listens there", () => {
  const one = exerciseOf(entryOf("cellar-level"), 3);
  const heard = one.measure(["mix position"]);
  const mark = one.check(levelOffset(heard).offset_db);
  expect(mark.misconception).toBe(mark.passed ? null : "mix position decides");
});
