// @ts-check
import { setTimeout as pause } from "node:timers/promises";

const patienceMs = 120_000;

/**
 * Waits for a server that starts.
 *
 * @param {string} url
 * @param {() => boolean} givenUp
 * @returns {Promise<boolean>} whether it answers
 */
export async function untilAnswering(url, givenUp) {
  for (const start = Date.now(); Date.now() - start < patienceMs && !givenUp(); await pause(20)) {
    const answer = await fetch(url).catch(() => undefined);
    if (answer?.ok) return true;
  }
  return false;
}
