/** Students' servers that start before anyone logs in, against a stand-in for the hub. */
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { createServer, type Server } from "node:http";
import type { AddressInfo } from "node:net";
import { availableParallelism, tmpdir } from "node:os";
import path from "node:path";
import { afterEach, describe, expect, it } from "vitest";
import { memoryLeft, startAhead } from "../../scripts/class/server/ahead.mjs";

let hub: Server | undefined;
afterEach(() => hub?.close());

/** What is asked of the hub, and how many starts there were at most at the same moment. */
async function hubAnswering(answer: (name: string) => number) {
  const asked: string[] = [];
  let [now, most] = [0, 0];
  hub = createServer(({ method, url, headers }, response) => {
    const [, name] = /^\/hub\/api\/users\/(\w+)\/server$/.exec(url ?? "") ?? [];
    expect([method, headers.authorization]).toEqual(["POST", "token secret"]);
    asked.push(name);
    most = Math.max(most, ++now);
    setTimeout(() => {
      now--;
      response.writeHead(answer(name)).end();
    }, 10);
  });
  await new Promise<void>((resolve) => hub?.listen(0, "127.0.0.1", resolve));
  const { port: hubPort } = hub.address() as AddressInfo;
  return { asked, most: () => most, to: { hubPort, token: "secret", goesOn: () => true } };
}
const students = Array.from({ length: 20 }, (_, i) => `s${i}`);

describe("servers ahead of their students", () => {
  it("are asked for once each, and never on all cores at a time", async () => {
    const { asked, most, to } = await hubAnswering((name) => (name === "s3" ? 400 : 201));
    expect(await startAhead(students, to)).toBe(20);
    expect([asked.length, new Set(asked)]).toEqual([20, new Set(students)]);
    expect(most()).toBeLessThanOrEqual(Math.max(1, availableParallelism() / 2));
  });

  it("are no more asked for once memory is short, the hub refuses, or it is gone", async () => {
    const { asked, to } = await hubAnswering(() => 201);
    let room = 5;
    expect(await startAhead(students, { ...to, goesOn: () => room-- > 0 })).toBe(5);
    expect(asked).toHaveLength(5);
    hub?.close();
    const refusing = await hubAnswering(() => 403);
    expect(await startAhead(students, refusing.to)).toBe(0);
    expect(refusing.asked.length).toBeLessThan(students.length);
    hub?.closeAllConnections();
    hub?.close();
    expect(await startAhead(students, refusing.to)).toBe(0);
  });

  it("leave half of the memory to kernels", () => {
    const folder = mkdtempSync(path.join(tmpdir(), "ahead "));
    const file = path.join(folder, "meminfo");
    const left = (available: number) => {
      writeFileSync(file, `MemTotal:  16000000 kB\nMemFree: 1 kB\nMemAvailable:  ${available} kB\n`);
      return memoryLeft(file);
    };
    expect([left(8_100_000), left(7_900_000)]).toEqual([true, false]);
    rmSync(folder, { recursive: true });
    expect(memoryLeft(file)).toBe(false);
  });
});
