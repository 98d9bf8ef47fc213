// Reference: Paris' formula integrated by scipy, see scripts/reference/field_admittance.py.
import { describe, expect, it } from "vitest";
import { absorptionOf } from "../../../lib/acoustics/reflection/local-wall";
import { admittanceFor, admittanceOf, BRANCHES, branchAt } from "../../../lib/field/waves/admittance";
import { expectAgreement } from "../../acoustics/deviation";
import reference from "../reference/field_admittance.json";

describe("the admittance of a wall", () => {
  it("absorbs as Paris' formula says", () => {
    expectAgreement(
      "Paris' absorption",
      reference.real.map(({ admittance, absorption }) => [
        absorptionOf(admittance),
        absorption,
        `y = ${admittance}`,
      ]),
      1e-9,
    );
  });

  it("is found from the absorption", () => {
    expectAgreement(
      "admittance of an absorption",
      reference.real.map(({ admittance, absorption }) => [
        admittanceFor(absorption),
        admittance,
        `α = ${absorption}`,
      ]),
      2e-3,
      true,
    );
  });

  it("as branches follows absorption that rises, falls or has a hump over the low band, and never gives sound back", () => {
    const bands = [16, 31.5, 63, 125, 250];
    const walls = [
      [0.1, 0.1, 0.1, 0.1, 0.1],
      [0.4, 0.3, 0.2, 0.15, 0.1],
      [0.05, 0.1, 0.15, 0.2, 0.3],
      [0.1, 0.15, 0.35, 0.3, 0.15],
    ];
    for (const value of walls) {
      const strengths = admittanceOf({ frequency: bands, value });
      expect(Math.min(...strengths)).toBeGreaterThanOrEqual(0);
      expectAgreement(
        `absorption of branches fitted to ${value}`,
        [31.5, 63, 125].map((f) => {
          const real = BRANCHES.reduce(
            (sum, _, b) => sum + strengths[b + 1] * branchAt(b, f).re,
            strengths[0],
          );
          return [absorptionOf(real), value[bands.indexOf(f)], `${f} Hz`];
        }),
        0.09,
      );
    }
  });
});
