// @ts-check
import { SetupError } from "./setup-error.mjs";

const oldest = 20;

/** Refuses a Node.js that is too old, before anything is installed with it. */
export function requireNode() {
  const major = Number(process.versions.node.split(".")[0]);
  if (major < oldest) {
    throw new SetupError(
      `Node.js ${process.versions.node} is too old: install version ${oldest} or newer from nodejs.org, then run this again.`,
    );
  }
}
