import { availableParallelism } from "node:os";
import { afterEach, expect, it } from "vitest";
import { threadsHere } from "../../lib/study/threads";

const { execArgv } = process;
afterEach(() => {
  process.execArgv = execArgv;
});

it("takes all cores, but one in a kernel that began from a snapshot, where no thread begins", () => {
  expect(threadsHere()).toBe(availableParallelism());
  process.execArgv = [...execArgv, "--snapshot-blob", "some.blob"];
  expect(threadsHere()).toBe(1);
});
