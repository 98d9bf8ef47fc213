/** A take that lost anything is refused with its reason, and one that lost nothing is not. */
import { rmSync } from "node:fs";
import { afterAll, describe, expect, it } from "vitest";
import { normal, uniform } from "../../../lib/numeric/random";
import { reasonsAgainst } from "../../../scripts/record/judge";
import { clockJumps, followLoopBack } from "../../../scripts/record/lost-samples";
import { folder, healthy, sampleRate, sent, twice, without, written } from "./takes";

afterAll(() => rmSync(folder, { recursive: true, force: true }));

const played = { sent, reference: 1 };
const judge = (channels: readonly Float64Array[], report = {}) =>
  reasonsAgainst({ report: written(channels, report), microphones: [2, 3], played });

describe("a healthy take is taken", () => {
  it.each([0, 0.25, 0.5, 0.75])("with a loop-back that lies %f of a sample between two", (between) => {
    expect(judge(healthy(2, { between }))).toEqual([]);
  });

  it.each([0, 1, 4096, 20_000])("with a loop-back %i samples late", (lag) => {
    expect(judge(healthy(2, { lag }))).toEqual([]);
  });

  it("and a noise-floor recording that is steady", () => {
    const random = normal(3);
    const noise = Array.from({ length: 3 }, () =>
      Float64Array.from({ length: 5 * sampleRate }, () => 1e-4 * random()),
    );
    expect(reasonsAgainst({ report: written(noise), microphones: [2, 3] })).toEqual([]);
  });
});

describe("a take is refused", () => {
  it("for each of fifty planted losses: frames missing or come twice, from one to a buffer of 4096", () => {
    const random = uniform(50);
    const missed = Array.from({ length: 50 }, (_, i) => {
      const count = i < 10 ? i + 1 : Math.ceil(4096 * random());
      const at = Math.round((2.2 + 3.8 * random()) * sampleRate);
      const plant = i % 2 ? twice : without;
      const [heard] = plant(healthy(0, { between: random(), seed: i + 1 }), at, count);
      const breaks = followLoopBack(sent, heard, sampleRate)?.breaks;
      // A piece of the comparison is 43 ms long, and a loss may come at its end.
      const near = breaks?.some(({ time }) => Math.abs(time - at / sampleRate) < 0.1 + count / sampleRate);
      return near ? [] : [{ count, at, breaks }];
    }).flat();
    expect(missed).toEqual([]);
  });

  it.each([without, twice])("with the time of a loss, for single frames", (plant) => {
    expect(judge(plant(healthy(2), 3 * sampleRate, 1))[0]).toMatch(
      /at (2\.9[89]|3\.0[0-3]) s the loop-back no longer follows/,
    );
  });

  it("for a buffer that came twice on the microphones while nothing played", () => {
    const random = normal(4);
    const noise = Array.from({ length: 3 }, () =>
      Float64Array.from({ length: 5 * sampleRate }, () => 1e-4 * random()),
    );
    const reasons = reasonsAgainst({
      report: written(twice(noise, 2 * sampleRate, 512)),
      microphones: [2, 3],
    });
    expect(reasons[0]).toMatch(/channel 2 holds the same samples twice at 2\.02 s/);
  });

  it("for a flag of the system", () => {
    const reasons = judge(healthy(2), { flags: [[2 * sampleRate, "input overflow"]] });
    expect(reasons[0]).toMatch(/told of a loss at 2\.00 s \(input overflow\)/);
  });

  it("for a jump of the device's clock", () => {
    const clock = Array.from({ length: 150 }, (_, i) => [
      2048 * i,
      (2048 * i) / sampleRate + (i >= 70 ? 0.0427 : 0),
    ]);
    expect(judge(healthy(2), { clock })[0]).toMatch(/jumps by 43 ms against the samples/);
  });

  it("for a clipped, a silent, and a doubled channel", () => {
    const clipped = healthy(2);
    clipped[1] = clipped[1].map((x) => Math.max(-0.06, Math.min(0.06, x)));
    expect(judge(clipped)[0]).toMatch(/^channel 2 at .* is clipped/);
    const silent = healthy(2);
    silent[2] = new Float64Array(silent[2].length);
    expect(judge(silent)[0]).toMatch(/^channel 3 is silent .*phantom power/);
    const doubled = healthy(2);
    doubled[2] = doubled[1].map((x) => 0.7 * x);
    expect(judge(doubled)[0]).toMatch(/channels 2 and 3 hold the same sound/);
  });

  it("for an input that is no loop-back", () => {
    const random = normal(9);
    const channels = healthy(2);
    channels[0] = channels[0].map(() => 0.1 * random());
    expect(judge(channels)[0]).toMatch(/channel 1, the loop-back, does not hold what was played/);
  });

  it("for noise that was not steady", () => {
    const random = normal(3);
    const noise = Array.from({ length: 3 }, () =>
      Float64Array.from(
        { length: 5 * sampleRate },
        (_, n) => (n > 2 * sampleRate && n < 3 * sampleRate ? 1e-3 : 1e-4) * random(),
      ),
    );
    expect(reasonsAgainst({ report: written(noise), microphones: [2, 3] })[0]).toMatch(
      /noise on channel 2 was not steady: 20 dB louder than usual at 2 s/,
    );
  });

  it("where it was stopped, or the disk was full", () => {
    expect(judge(healthy(2), { stopped: true })[0]).toMatch(/stopped before its end/);
    expect(judge(healthy(2), { failed: "No space left on device", whole: false })[0]).toMatch(
      /broke off: No space left/,
    );
  });
});

describe("the device's clock", () => {
  it("may tremble and drift without being taken for a loss", () => {
    const random = normal(5);
    const clock = Array.from(
      { length: 1000 },
      (_, i) => [2048 * i, ((2048 * i) / sampleRate) * (1 + 2e-4) + 0.002 * random()] as const,
    );
    expect(clockJumps(clock, sampleRate)).toEqual([]);
  });
});
