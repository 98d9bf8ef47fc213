/** Talks to a kernel in Jupyter's messaging protocol 5, so that notebooks run without a Python around. */
import { spawn } from "node:child_process";
import { createHmac, randomUUID } from "node:crypto";
import { once } from "node:events";
import { mkdtempSync, writeFileSync } from "node:fs";
import { type AddressInfo, createServer } from "node:net";
import { tmpdir } from "node:os";
import path from "node:path";
import { Dealer, Subscriber } from "zeromq";
import { remove } from "../setup/patient-files.cjs";
import type { Output } from "./format";

export interface Message {
  readonly msg_type: string;
  readonly parent?: string;
  readonly content: Omit<Output, "output_type"> & {
    readonly status?: string;
    readonly execution_state?: string;
    readonly transient?: { readonly display_id?: string };
  };
}

/** What a kernel replies; its status is "dead" where it has ended. */
export type Reply = { readonly status?: string; readonly [field: string]: unknown };

export interface Kernel {
  /** Asks for anything but to run a cell. */
  reply(type: string, content: object): Promise<Reply>;
  /** Hands on all that a cell puts out; "ok", "error", "abort", or "dead" where the kernel has ended. */
  execute(code: string, onMessage: (message: Message) => void): Promise<string>;
  stop(): Promise<void>;
}

/** A kernel answers within seconds. One whose port was taken between its choice and its use never does. */
const patienceMs = 60_000;
const tries = 3;

/**
 * Starts a kernel.
 *
 * @param argv  its command line, with {connection_file} where the file's path goes
 * @param folder  where it runs
 * @param patience  milliseconds that it may take to answer
 * @returns once it answers
 * @throws Error when it ends or does not answer, three times in a row
 */
export async function startKernel(
  argv: readonly string[],
  folder: string,
  patience = patienceMs,
): Promise<Kernel> {
  let reason = "";
  for (let i = 0; i < tries; i++) {
    const kernel = await tryToStart(argv, folder, patience);
    if (typeof kernel !== "string") return kernel;
    reason = kernel;
  }
  throw new Error(`the kernel ${reason}`);
}

/** A kernel, or what went wrong. */
async function tryToStart(
  argv: readonly string[],
  folder: string,
  patience: number,
): Promise<Kernel | string> {
  const place = mkdtempSync(path.join(tmpdir(), "evenground-"));
  const connection = path.join(place, "kernel.json");
  const key = randomUUID();
  const [shellPort, iopubPort, stdinPort, controlPort, heartbeatPort] = await freePorts(5);
  writeFileSync(
    connection,
    JSON.stringify({
      transport: "tcp",
      ip: "127.0.0.1",
      key,
      signature_scheme: "hmac-sha256",
      shell_port: shellPort,
      iopub_port: iopubPort,
      stdin_port: stdinPort,
      control_port: controlPort,
      hb_port: heartbeatPort,
    }),
    { mode: 0o600 },
  );
  const [command, ...args] = argv.map((word) => word.replace("{connection_file}", connection));
  const child = spawn(command, args, {
    cwd: folder,
    stdio: ["ignore", "ignore", "ignore"],
    windowsHide: true,
  });
  const ended = once(child, "exit").then(
    () => "dead",
    () => "dead",
  );

  const shell = new Dealer({ linger: 0, reconnectInterval: 10 });
  const output = new Subscriber({ linger: 0, reconnectInterval: 10 });
  output.subscribe();
  shell.connect(`tcp://127.0.0.1:${shellPort}`);
  output.connect(`tcp://127.0.0.1:${iopubPort}`);

  const waiting = new Map<
    string,
    { onMessage: (message: Message) => void; replied: (content: Reply) => void; idle: () => void }
  >();
  const listen = async (socket: Dealer | Subscriber) => {
    for await (const frames of socket) {
      const message = unpack(frames);
      const asked = waiting.get(message.parent ?? "");
      if (!asked) continue;
      if (message.msg_type.endsWith("_reply")) asked.replied(message.content);
      else if (message.msg_type === "status" && message.content.execution_state === "idle") asked.idle();
      else asked.onMessage(message);
    }
  };
  for (const socket of [shell, output]) listen(socket).catch(() => {});

  /** Sends a request and gives the reply, once all output has come too. */
  const ask = async (
    type: string,
    content: object,
    onMessage: (message: Message) => void = () => {},
  ): Promise<Reply> => {
    const id = randomUUID();
    const replied = new Promise<Reply>((resolve) => {
      const idle = new Promise<void>((quiet) => {
        waiting.set(id, { onMessage, replied: (content) => idle.then(() => resolve(content)), idle: quiet });
      });
    });
    await shell.send(pack(key, id, type, content));
    const reply = await Promise.race([replied, ended.then(() => ({ status: "dead" }))]);
    waiting.delete(id);
    return reply;
  };

  const stop = async () => {
    shell.close();
    output.close();
    child.kill("SIGKILL");
    await ended;
    remove(place);
  };

  // A subscriber hears nothing of what was published before it had joined: ask until the output channel answers too.
  const greet = async () => {
    for (const start = performance.now(); performance.now() - start < patience; ) {
      const later = new Promise((resolve) => setTimeout(resolve, 200, "again"));
      const answer = await Promise.race([ask("kernel_info_request", {}), later]);
      if (answer !== "again") return (answer as Reply).status ?? "ok";
    }
    return "silent";
  };
  const answer = await greet();
  if (answer === "dead" || answer === "silent") {
    await stop();
    return answer === "dead"
      ? "ended before it answered"
      : `did not answer within ${patience / 1000} seconds`;
  }
  return {
    reply: (type, content) => ask(type, content),
    execute: async (code, onMessage) => {
      const reply = await ask(
        "execute_request",
        {
          code,
          silent: false,
          store_history: true,
          user_expressions: {},
          allow_stdin: false,
          stop_on_error: true,
        },
        onMessage,
      );
      return reply.status ?? "ok";
    },
    stop,
  };
}

function pack(key: string, id: string, type: string, content: object) {
  const header = {
    msg_id: id,
    msg_type: type,
    session: key,
    username: "course",
    date: new Date().toISOString(),
    version: "5.3",
  };
  const parts = [header, {}, {}, content].map((part) => Buffer.from(JSON.stringify(part)));
  const signature = createHmac("sha256", key);
  for (const part of parts) signature.update(part);
  return ["<IDS|MSG>", signature.digest("hex"), ...parts];
}

function unpack(frames: Buffer[]): Message {
  const start = frames.findIndex((frame) => frame.toString() === "<IDS|MSG>");
  const [header, parent, , content] = frames.slice(start + 2).map((frame) => JSON.parse(frame.toString()));
  return { msg_type: header.msg_type, parent: parent.msg_id, content };
}

async function freePorts(count: number): Promise<number[]> {
  const servers = Array.from({ length: count }, () => createServer().listen(0, "127.0.0.1"));
  await Promise.all(servers.map((server) => once(server, "listening")));
  const ports = servers.map((server) => (server.address() as AddressInfo).port);
  await Promise.all(servers.map((server) => new Promise((resolve) => server.close(resolve))));
  return ports;
}
