import { defineConfig } from "vitest/config";

/** Slow tests with a real browser, for CI: `npm run browser`, after `npm run book`. */
export default defineConfig({
  test: {
    include: ["tests/{browser,security}/*.browser.ts"],
    testTimeout: 180_000,
    hookTimeout: 180_000,
    fileParallelism: false,
  },
});
