/** What another thread computes once, and this one waits for when it wants it. */
import { MessageChannel, type MessagePort, receiveMessageOnPort } from "node:worker_threads";

/** Given to the thread that computes. */
export interface Sender {
  readonly port: MessagePort;
  /** 1 when all is sent, and a number that changes while it is computed. */
  readonly state: Int32Array;
}

/**
 * Computes and sends. Where that fails nothing is sent: who waits computes it again, and meets the same error.
 *
 * @param compute  calls what it is given now and then, where it takes long
 */
export function send({ port, state }: Sender, compute: (alive: () => void) => unknown): void {
  try {
    port.postMessage({ value: compute(() => void Atomics.add(state, 1, 1)) });
  } catch {
  } finally {
    Atomics.store(state, 0, 1);
    Atomics.notify(state, 0);
  }
}

/**
 * @returns what the thread needs to send, and what waits for it: the value in an object, undefined where none came
 */
export function sent<T>(): { readonly sender: Sender; take(): { readonly value: T } | undefined } {
  const { port1, port2 } = new MessageChannel();
  const state = new Int32Array(new SharedArrayBuffer(8));
  return {
    sender: { port: port2, state },
    take() {
      let former: number;
      do former = Atomics.load(state, 1);
      while (Atomics.wait(state, 0, 0, LONGEST) === "timed-out" && Atomics.load(state, 1) !== former);
      const message = receiveMessageOnPort(port1)?.message;
      port1.close();
      return message;
    },
  };
}

/** Milliseconds that one thread waits for a sign of another. */
export const LONGEST = 30_000;
