/** A small server of static files on loopback, as a school's web space is one. */
import { createReadStream, statSync } from "node:fs";
import { createServer } from "node:http";
import type { AddressInfo } from "node:net";
import path from "node:path";

const types: { readonly [extension: string]: string } = {
  ".html": "text/html; charset=utf-8",
  ".js": "text/javascript; charset=utf-8",
  ".css": "text/css",
  ".json": "application/json",
  ".ipynb": "application/json",
  ".wasm": "application/wasm",
};

export interface Served {
  /** Ends with a slash. */
  readonly address: string;
  /** Paths that were asked for. */
  readonly asked: string[];
  /** Those of them that are not there. */
  readonly missing: string[];
  close(): Promise<void>;
}

/**
 * @param folder  what it serves
 * @param headers  sent with each file
 */
export async function serve(
  folder: string,
  headers: { readonly [name: string]: string } = {},
): Promise<Served> {
  const asked: string[] = [];
  const missing: string[] = [];
  const server = createServer((request, response) => {
    const way = decodeURIComponent(new URL(request.url ?? "/", "http://here").pathname);
    asked.push(way);
    const file = path.join(folder, path.posix.normalize(way), way.endsWith("/") ? "index.html" : "");
    const isFile = statSync(file, { throwIfNoEntry: false })?.isFile();
    if (!isFile) {
      missing.push(way);
      response.writeHead(404).end();
      return;
    }
    response.writeHead(200, {
      "content-type": types[path.extname(file)] ?? "application/octet-stream",
      ...headers,
    });
    createReadStream(file).pipe(response);
  });
  await new Promise<void>((listening) => server.listen(0, "127.0.0.1", listening));
  return {
    address: `http://127.0.0.1:${(server.address() as AddressInfo).port}/`,
    asked,
    missing,
    close: () => {
      server.closeAllConnections();
      return new Promise((closed) => server.close(() => closed()));
    },
  };
}
