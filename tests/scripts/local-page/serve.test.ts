/** The page answers this computer, with its token, and nobody else. */
import { request } from "node:http";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { type Served, servePage } from "../../../scripts/local-page/serve";
import { freePort } from "../../../scripts/start/free-port.mjs";

let served: Served;
let port: number;
let token: string;
const asked: unknown[] = [];

beforeAll(async () => {
  port = await freePort(undefined, 8931);
  served = await servePage(
    {
      html: "<p>TOKEN</p>",
      files: { "a.js": { type: "text/javascript", text: "1" } },
      state: () => ({ some: "state" }),
      act(wish) {
        asked.push(wish);
        if (wish.do === "fail") throw new RangeError("a sentence");
        return { done: true };
      },
    },
    port,
  );
  token = new URL(served.address).searchParams.get("token")!;
});
afterAll(() => served.close());

const get = (
  path: string,
  {
    headers = {},
    method = "GET",
    body = "",
  }: { headers?: Record<string, string>; method?: string; body?: string } = {},
) =>
  new Promise<{ status?: number; text: string; policy?: unknown }>((resolve, reject) => {
    const sent = request({ host: "127.0.0.1", port, path, method, headers }, (response) => {
      let text = "";
      response.on("data", (part) => {
        text += part;
      });
      response.on("end", () =>
        resolve({ status: response.statusCode, text, policy: response.headers["content-security-policy"] }),
      );
    });
    sent.on("error", reject);
    sent.end(body);
  });

describe("a page of this computer", () => {
  it("listens on the loop-back address and prints it with its token", () => {
    expect(served.address).toMatch(/^http:\/\/127\.0\.0\.1:\d+\/\?token=[0-9a-f]{48}$/);
  });

  it("answers by its address with the token", async () => {
    const answer = await get(`/?token=${token}`);
    expect(answer).toMatchObject({ status: 200, text: `<p>${token}</p>` });
    expect(answer.policy).toContain("default-src 'none'");
    expect(answer.policy).toContain("frame-ancestors 'none'");
  });

  it.each([
    ["no token", "/", {}],
    ["another token", `/?token=${"0".repeat(48)}`, {}],
    [
      "another name of this computer, as a page elsewhere could use",
      "/?token=T",
      { host: "elsewhere.example" },
    ],
    ["another origin", "/?token=T", { origin: "http://elsewhere.example" }],
  ])("refuses %s, and does nothing", async (_, address, headers) => {
    const before = asked.length;
    const at = address.replace("=T", `=${token}`);
    expect((await get(at, { headers })).status).toBe(403);
    expect((await get(at.replace("/", "/do"), { headers, method: "POST", body: '{"do":"x"}' })).status).toBe(
      403,
    );
    expect(asked.length).toBe(before);
  });

  it("hands wishes on and says what is refused in a sentence", async () => {
    const ask = (body: string) => get(`/do?token=${token}`, { method: "POST", body });
    expect(await ask('{"do":"well"}')).toMatchObject({ status: 200, text: '{"done":true}' });
    expect(await ask('{"do":"fail"}')).toMatchObject({ status: 400, text: '{"error":"a sentence"}' });
    expect((await ask("[1]")).status).toBe(400);
    expect((await ask("no JSON")).status).toBe(400);
    expect((await ask(JSON.stringify({ do: "x".repeat(2_000_000) }))).status).toBe(400);
  });

  it("gives no file but its own", async () => {
    expect((await get(`/a.js?token=${token}`)).status).toBe(200);
    for (const name of ["../package.json", "__proto__", "constructor", "%2e%2e/package.json"])
      expect((await get(`/${name}?token=${token}`)).status).toBe(404);
  });
});
