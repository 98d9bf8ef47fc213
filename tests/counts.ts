import type { Reporter, TestModule } from "vitest/node";

/** Ends a run by how many tests passed and failed; a file that could not even be loaded counts as one failure. */
export default class Counts implements Reporter {
  onTestRunEnd(modules: readonly TestModule[], errors: readonly unknown[]): void {
    const states = modules.flatMap((module) => {
      const tests = [...module.children.allTests()].map((test) => test.result().state);
      return tests.length === 0 && !module.ok() ? ["failed"] : tests;
    });
    const passed = states.filter((state) => state === "passed").length;
    const failed = states.filter((state) => state === "failed").length + errors.length;
    console.log(`${passed} passed, ${failed} failed`);
  }
}
