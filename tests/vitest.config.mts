import { defineConfig } from "vitest/config";

/** A folder, or one file of tests. */
const tests = process.env.EVENGROUND_TESTS ?? "tests";

export default defineConfig({
  test: {
    // Mutants are held against the tests of their own room.
    include: [tests.endsWith(".test.ts") ? tests : `${tests}/**/*.test.ts`],
    setupFiles: ["tests/seed.ts"],
    // One core is left free by default: of two, half.
    maxWorkers: "100%",
    // Their code counts what it runs, which makes hot loops many times slower.
    testTimeout: process.env.EVENGROUND_TESTS ? 600_000 : 180_000,
    reporters: ["default", "./tests/counts.ts"],
  },
});
