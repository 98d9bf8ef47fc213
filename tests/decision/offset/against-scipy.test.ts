import { describe, it } from "vitest";
import type { Response } from "../../../lib/acoustics/response";
import { alignment } from "../../../lib/decision/alignment/alignment";
import { balance } from "../../../lib/decision/balance/balance";
import { levelOffset } from "../../../lib/decision/offset/offset";
import { expectAgreement } from "../../acoustics/deviation";
import reference from "../reference/decision_offsets.json";
import { frequency, pointSource, position, survey } from "../synthetic";

// Computed apart from the library with numpy and scipy: scripts/reference/decision_offsets.py.
const { places: positions, mains, subs, solutions, alignments, speedOfSound } = reference;

const hall = survey(
  positions.map((p, i) => position(`p${i}`, p, p.people)),
  positions.map((p) => withImages(mains, p)),
  positions.map((p) => withImages(subs, p)),
);

/** The hall of the reference: each source with an image in the rear wall and one in a side wall, 3 dB softer. */
function withImages(sources: typeof mains, place: { x: number; y: number; z: number }): Response {
  const all = [
    ...sources,
    ...sources.map((s) => ({ ...s, x: 64 - s.x, level: s.level - 3 })),
    ...sources.map((s) => ({ ...s, y: 28 - s.y, level: s.level - 3 })),
  ].map((s) => pointSource(s, place, s.level, speedOfSound));
  const total = (part: "re" | "im") => frequency.map((_, i) => all.reduce((sum, r) => sum + r[part][i], 0));
  return { frequency, re: total("re"), im: total("im") };
}

describe("an invented hall, beside numpy and scipy", () => {
  const settings = solutions.map(({ setting, ...answer }) => ({
    ...answer,
    options: {
      ...setting,
      lowBand: setting.lowBand as [number, number],
      midBand: setting.midBand as [number, number],
      polarity: setting.polarity as 1 | -1,
    },
  }));

  it("has the balance of a dense integral over the sum itself", () => {
    expectAgreement(
      "balance per position",
      settings.flatMap(({ options, balance_db, offsetOfBalance_db }) =>
        balance(hall, { ...options, offset: offsetOfBalance_db }).positions.map(
          (p, i) => [p.balance_db, balance_db[i], p.id] as const,
        ),
      ),
      1e-5,
    );
  });

  it("has the offsets of a fine grid and scipy's bounded search", () => {
    const found = settings.flatMap(({ options, answers }) =>
      levelOffset(hall, options).choices.map((c) => ({ choice: c, expected: answers[c.criterion] })),
    );
    expectAgreement(
      "cost of the best offset",
      found.map(({ choice, expected }) => [choice.cost_db, expected.cost_db, choice.criterion]),
      1e-5,
    );
    expectAgreement(
      "best offset",
      found.map(({ choice, expected }) => [choice.offset_db, expected.offset_db, choice.criterion]),
      1e-3,
    );
  });

  it("is aligned as by trying every 2 microseconds", () => {
    const found = alignments.map((expected) => {
      const { choices, current } = alignment(hall, {
        at: [`p${expected.place}`],
        band: expected.band as [number, number],
        delays: [-0.012, 0.012],
      });
      return { choice: choices[0], current, expected };
    });
    expectAgreement(
      "delay",
      found.map(({ choice, expected }) => [
        choice.delay_ms * choice.polarity,
        expected.delay_ms * expected.polarity,
      ]),
      0.002,
    );
    expectAgreement(
      "loss against the ideal sum",
      found.flatMap(({ choice, current, expected }) => [
        [choice.loss_db, expected.loss_db],
        [current.loss_db, expected.current_db],
      ]),
      1e-5,
    );
  });
});
