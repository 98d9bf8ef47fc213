/** A page on this computer alone: nobody else can reach it, and no other page can use it. */
import { randomBytes, timingSafeEqual } from "node:crypto";
import { createServer, type IncomingMessage, type ServerResponse } from "node:http";

export interface Served {
  /** With the token. */
  readonly address: string;
  /** Tells every open page the state. */
  tell(): void;
  close(): Promise<void>;
}

export interface Page {
  /** What stands at the address. */
  readonly html: string;
  /** Other files, by name. */
  readonly files: { readonly [name: string]: { readonly type: string; readonly text: string } };
  /** What pages are told, as JSON. */
  state(): unknown;
  /** What a page may ask for; an error's message is told to it. */
  act(wish: { readonly [key: string]: unknown }): unknown;
}

const LONGEST = 1_000_000; // bytes of a wish

/**
 * Serves until it is closed.
 *
 * Every request must name the token, come by this computer's own address and, where a browser says so, from this page.
 */
export async function servePage(page: Page, port: number): Promise<Served> {
  const token = randomBytes(24).toString("hex");
  const listeners = new Set<ServerResponse>();
  const server = createServer((request, response) => {
    const url = new URL(request.url ?? "/", "http://127.0.0.1");
    response.setHeader("Cache-Control", "no-store");
    response.setHeader("X-Content-Type-Options", "nosniff");
    response.setHeader("Referrer-Policy", "no-referrer");
    response.setHeader(
      "Content-Security-Policy",
      "default-src 'none'; script-src 'self'; style-src 'self'; connect-src 'self'; img-src data:; form-action 'none'; frame-ancestors 'none'; base-uri 'none'",
    );
    if (!isOurs(request, port, url.searchParams.get("token") ?? "", token)) {
      end(response, 403, "text/plain", "This page opens only by the address that the command has printed.");
      return;
    }
    const name = url.pathname.slice(1);
    if (request.method === "POST" && name === "do") {
      wishOf(request)
        .then((wish) => page.act(wish))
        .then((answer) => end(response, 200, "application/json", JSON.stringify(answer ?? {})))
        .catch((error: Error) =>
          end(response, 400, "application/json", JSON.stringify({ error: error.message })),
        )
        .finally(tell);
    } else if (request.method !== "GET") end(response, 405, "text/plain", "");
    else if (name === "events") {
      response.writeHead(200, { "Content-Type": "text/event-stream" });
      response.write(`data: ${JSON.stringify(page.state())}\n\n`);
      listeners.add(response);
      response.on("close", () => listeners.delete(response));
    } else if (name === "") end(response, 200, "text/html", page.html.replaceAll("TOKEN", token));
    else if (Object.hasOwn(page.files, name))
      end(response, 200, page.files[name].type, page.files[name].text);
    else end(response, 404, "text/plain", "");
  });
  function tell(): void {
    if (listeners.size === 0) return;
    const line = `data: ${JSON.stringify(page.state())}\n\n`;
    for (const listener of listeners) listener.write(line);
  }
  await new Promise<void>((resolve, reject) => {
    server.once("error", reject);
    server.listen({ port, host: "127.0.0.1", exclusive: true }, () => resolve());
  });
  return {
    address: `http://127.0.0.1:${port}/?token=${token}`,
    tell,
    async close() {
      for (const listener of listeners) listener.end();
      server.closeAllConnections();
      await new Promise((resolve) => server.close(resolve));
    },
  };
}

/** Whether it names the token, and came by the address that was printed: a page elsewhere whose name leads here has its own. */
function isOurs({ headers }: IncomingMessage, port: number, given: string, token: string): boolean {
  const host = `127.0.0.1:${port}`;
  if (headers.host !== host) return false;
  if (headers.origin !== undefined && headers.origin !== `http://${host}`) return false;
  const [a, b] = [Buffer.from(given), Buffer.from(token)];
  return a.length === b.length && timingSafeEqual(a, b);
}

function end(response: ServerResponse, status: number, type: string, text: string): void {
  response.writeHead(status, { "Content-Type": `${type}; charset=utf-8` });
  response.end(text);
}

async function wishOf(request: IncomingMessage): Promise<{ readonly [key: string]: unknown }> {
  let text = "";
  let length = 0;
  // What is too long is heard to its end and not kept, so that the answer reaches who sent it.
  for await (const part of request) {
    length += part.length;
    if (length <= LONGEST) text += part;
  }
  if (length > LONGEST) throw new RangeError("what was sent is too long");
  const wish: unknown = JSON.parse(text);
  if (typeof wish !== "object" || wish === null || Array.isArray(wish))
    throw new RangeError("expected an object");
  return wish as { readonly [key: string]: unknown };
}
