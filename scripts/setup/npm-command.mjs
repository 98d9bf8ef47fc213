// @ts-check
/** How npm is run: as a script by this very Node.js, since `npm` on Windows is a batch file, which only a shell can start. */
import { existsSync } from "node:fs";
import path from "node:path";
import { run } from "./run.mjs";

/**
 * @param {readonly string[]} args  plain words of ours, nothing that a user typed
 * @param {{ platform: string, execPath: string, env: NodeJS.ProcessEnv, exists: (file: string) => boolean }} [system]
 * @returns {{ command: string, args: string[], shell: boolean }}
 */
export function npmCommand(
  args,
  system = { platform: process.platform, execPath: process.execPath, env: process.env, exists: existsSync },
) {
  const { platform, execPath, env, exists } = system;
  const { basename, dirname, join } = platform === "win32" ? path.win32 : path.posix;
  const beside = dirname(execPath);
  const scripts = [
    // what npm itself says of itself; other package managers set the same name and don't know its commands
    ...(basename(env.npm_execpath ?? "") === "npm-cli.js" ? [/** @type {string} */ (env.npm_execpath)] : []),
    join(beside, "node_modules", "npm", "bin", "npm-cli.js"),
    join(beside, "..", "lib", "node_modules", "npm", "bin", "npm-cli.js"),
  ];
  const script = scripts.find(exists);
  if (script) return { command: execPath, args: [script, ...args], shell: false };
  // As one line, for a shell gets no list of words.
  if (platform === "win32") return { command: ["npm", ...args].join(" "), args: [], shell: true };
  return { command: "npm", args: [...args], shell: false };
}

/**
 * @param {readonly string[]} args
 * @param {string} [cwd]
 * @returns {ReturnType<typeof run>}
 */
export function runNpm(args, cwd) {
  const { command, args: words, shell } = npmCommand(args);
  return run(command, words, { cwd, shell });
}
