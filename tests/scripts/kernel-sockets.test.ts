/** What the kernel's sockets do in the moment in which it starts, held against stand-ins for them. */
import { EventEmitter } from "node:events";
import { setTimeout as sleep } from "node:timers/promises";
import { expect, it } from "vitest";

const { receiveOnceBound } = require("../../scripts/typescript-kernel/bound-first.cjs");
const { tellLateListeners } = require("../../scripts/typescript-kernel/late-listeners.cjs");

it("a question that waits for the kernel is taken once the slowest socket is bound, not before", async () => {
  const order: string[] = [];
  class Router {
    async receive() {
      order.push("taken");
      return ["question"];
    }
  }
  class Server {
    async bindSocket(name: string, ms: number) {
      await sleep(ms);
      order.push(`${name} bound`);
    }
  }
  receiveOnceBound(Server, { Router, Reply: class extends Router {} });
  const server = new Server();
  // As the kernel does it: it wishes to receive, then binds.
  const taken = new Router().receive();
  await Promise.all([server.bindSocket("shell", 1), server.bindSocket("iopub", 60)]);
  expect(await taken).toEqual(["question"]);
  expect(order).toEqual(["shell bound", "iopub bound", "taken"]);
});

it("who begins to listen hears the last state, and nothing before there is one or after the end", async () => {
  const said: unknown[] = [];
  class Server {
    iopub = { events: new EventEmitter(), closed: false };
    async bindSocket(_: unknown) {}
    publishStatus(state: string, parent: string) {
      said.push([state, parent]);
    }
  }
  tellLateListeners(Server);
  const server = new Server();
  await server.bindSocket({ events: new EventEmitter(), closed: false });
  await server.bindSocket(server.iopub);
  const comes = async () => {
    server.iopub.events.emit("handshake");
    await sleep(120);
  };
  await comes();
  expect(said).toEqual([]);
  server.publishStatus("busy", "cell 1");
  server.publishStatus("idle", "cell 1");
  await comes();
  expect(said.slice(2)).toEqual([["idle", "cell 1"]]);
  server.iopub.closed = true;
  await comes();
  expect(said).toHaveLength(3);
});
