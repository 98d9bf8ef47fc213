// @ts-check
import { createServer } from "node:net";
import { SetupError } from "../setup/setup-error.mjs";

const usual = 8890;
const tries = 50;

/**
 * A port on which nothing listens on this computer.
 *
 * @param {number} [wanted]  the user's choice: taken as it is or refused, never exchanged
 * @param {number} [from]  where to look without a choice
 */
export async function freePort(wanted, from = usual) {
  if (wanted !== undefined) {
    if (await isFree(wanted)) return wanted;
    throw new SetupError(
      `Port ${wanted} is in use: stop what runs there, or choose another one with --port NUMBER.`,
    );
  }
  for (let port = from; port < from + tries; port++) if (await isFree(port)) return port;
  throw new SetupError(`Ports ${from} to ${from + tries - 1} are all in use: choose one with --port NUMBER.`);
}

/**
 * @param {number} port
 * @returns {Promise<boolean>}
 */
function isFree(port) {
  return new Promise((resolve) => {
    const server = createServer();
    server.once("error", () => resolve(false));
    server.listen({ port, host: "127.0.0.1", exclusive: true }, () => server.close(() => resolve(true)));
  });
}
