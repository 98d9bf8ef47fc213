import { defineConfig } from "vitest/config";

export default defineConfig({
  test: {
    // Mutants are held against the tests of their own room.
    include: [`${process.env.EVENGROUND_TESTS ?? "tests"}/**/*.test.ts`],
    setupFiles: ["tests/seed.ts"],
    // Their code counts what it runs, which makes hot loops many times slower.
    testTimeout: process.env.EVENGROUND_TESTS ? 600_000 : 60_000,
    reporters: ["default", "./tests/counts.ts"],
  },
});
