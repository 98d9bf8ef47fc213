// @ts-check
/**
 * Helpers of a hub that outlived it: the proxy, which the hub starts anew where its own end and its look after the proxy
 * cross, and the one that ends idle servers, where the hub was killed.
 */
import { readdirSync, readFileSync, statSync } from "node:fs";

/**
 * Ends them; nothing where the system does not tell of processes.
 *
 * @param {{ hubPort: number, proxyPort?: number }} ports  by which those of this class are known; without `proxyPort` the
 *   proxy stays, for the next hub takes it over
 */
export function endLeftovers({ hubPort, proxyPort }) {
  for (const id of numbersIn("/proc")) {
    const words = textOf(`/proc/${id}/cmdline`).split("\0");
    const isProxy =
      words.some((word) => word.endsWith("/configurable-http-proxy")) &&
      words[words.indexOf("--api-port") + 1] === String(proxyPort);
    const isCuller =
      words.some((word) => word.endsWith("/jupyterhub-idle-culler")) &&
      textOf(`/proc/${id}/environ`).includes(`:${hubPort}/hub/api`);
    if (!isProxy && !isCuller) continue;
    try {
      process.kill(id, "SIGTERM");
    } catch {
      // ended meanwhile
    }
  }
}

/**
 * Ends all that runs under students' accounts, whatever it is: each is the class's alone.
 *
 * @param {readonly number[]} accounts  their numbers
 */
export function endAllOf(accounts) {
  for (const id of numbersIn("/proc")) {
    try {
      if (accounts.includes(statSync(`/proc/${id}`).uid)) process.kill(id, "SIGKILL");
    } catch {
      // ended meanwhile
    }
  }
}

/** @param {string} folder */
function numbersIn(folder) {
  try {
    return readdirSync(folder).map(Number).filter(Boolean);
  } catch {
    return [];
  }
}

/** @param {string} file */
function textOf(file) {
  try {
    return readFileSync(file, "utf8");
  } catch {
    return "";
  }
}
