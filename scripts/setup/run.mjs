// @ts-check
/** Runs another program quietly, keeps what it said, and hands back its lines as they come. */
import { spawn } from "node:child_process";
import { once } from "node:events";
import { createInterface } from "node:readline";
import { root } from "./places.mjs";

/**
 * @param {string} command
 * @param {readonly string[]} args
 * @param {{ cwd?: string, env?: NodeJS.ProcessEnv, onLine?: (line: string) => void, shell?: boolean }} [options]
 * @returns {Promise<{ code: number, output: string }>} the exit code (127 when there is no such program) and all it said
 */
export async function run(command, args, options = {}) {
  const child = spawn(command, args, {
    cwd: options.cwd ?? root,
    env: options.env ?? process.env,
    shell: options.shell ?? false,
    stdio: ["ignore", "pipe", "pipe"],
    windowsHide: true,
  });
  /** @type {string[]} */
  const lines = [];
  for (const stream of [child.stdout, child.stderr]) {
    createInterface({ input: stream }).on("line", (line) => {
      lines.push(line);
      options.onLine?.(line);
    });
  }
  try {
    const [code] = await once(child, "close");
    return { code: code ?? 1, output: lines.join("\n") };
  } catch (error) {
    return { code: 127, output: String(error) };
  }
}

/**
 * The lines of a failed program that most likely say why, for the end of a message.
 *
 * @param {string} output  all that the program said
 */
export function lastWords(output) {
  const lines = output
    .split("\n")
    .map((line) => line.trim().replace(/^npm (error|ERR!)\s*/, ""))
    .filter((line) => /[a-z]/i.test(line) && !/^at |^A complete log|^Ignoring |^(code|errno): /.test(line));
  const telling = lines.filter((line) =>
    /reason:|error:|denied|refused|not found|no space|timed? ?out/i.test(line),
  );
  return [...new Set(telling.length ? telling : lines)].slice(-3).join("\n  ");
}
