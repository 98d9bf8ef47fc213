import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { damagedTrace, damagedWav } from "./mutate";
import { type Outcome, traceOrdeal, wavOrdeal } from "./ordeal";

/** How many damaged files of each sort are tried; the full count is 20,000 and more. */
const cases = Number(process.env.EVENGROUND_CASES ?? 3000);
const corpus = join(__dirname, "corpus");
/** Milliseconds of the processor's time: a file of some kilobytes takes one or two, and a busy machine changes nothing in that. */
const longest = 1000;

describe("damaged files", () => {
  for (const [kind, damaged, ordeal] of [
    ["WAV", damagedWav, wavOrdeal],
    ["trace", damagedTrace, traceOrdeal],
  ] as const) {
    it(`are read or refused in one clear sentence, in time and memory: ${cases} ${kind} files`, {
      timeout: 600_000,
    }, () => {
      const outcomes: Record<Outcome, number> = { read: 0, "read with warnings": 0, refused: 0 };
      for (let seed = 1; seed <= cases; seed++) {
        const bytes = damaged(seed);
        const started = process.cpuUsage();
        try {
          outcomes[ordeal(bytes)]++;
        } catch (error) {
          throw new Error(`seed ${seed}: ${(error as Error).message}`, { cause: error });
        }
        const { user, system } = process.cpuUsage(started);
        const took = (user + system) / 1000;
        if (took > longest) throw new Error(`seed ${seed}: took ${took.toFixed(0)} ms`);
      }
      // Damage that everything or nothing survives would test nothing.
      for (const count of Object.values(outcomes)) expect(count).toBeGreaterThan(cases / 50);
      console.log(`${kind}: ${JSON.stringify(outcomes)}`);
    });
  }

  for (const name of readdirSync(corpus).filter((file) => /\.(wav|csv)$/.test(file))) {
    it(`that were found by search do no harm: ${name}`, () => {
      const bytes = new Uint8Array(readFileSync(join(corpus, name)));
      expect(["read", "read with warnings", "refused"]).toContain(
        name.endsWith(".wav") ? wavOrdeal(bytes) : traceOrdeal(bytes),
      );
    });
  }
});
