import { describe, expect, it } from "vitest";
import { joinSurveys, partOfSurvey } from "../../lib/survey/part";
import { position, ratios } from "../decision/synthetic";

describe("surveys put together", () => {
  it("hold the positions of both in order, and come apart again", () => {
    const a = ratios([1, 2]);
    const b = { ...ratios([3]), positions: [position("desk")] };
    const joined = joinSurveys(a, b);
    expect(joined.positions.map((p) => p.id)).toEqual(["p0", "p1", "desk"]);
    expect(partOfSurvey(joined, [2]).subs[0]).toBe(b.subs[0]);
  });
  it("are refused when they name one position twice or differ in kind", () => {
    const a = ratios([1, 2]);
    expect(() => joinSurveys(a, ratios([3]))).toThrow(/"p0"/);
    expect(() => joinSurveys(a, { ...a, quantity: "pressure" })).toThrow(/pressure/);
    expect(() => joinSurveys(a, { ...a, fills: a.mains })).toThrow(/fills/);
  });
});
