// @ts-check
/** The exchange's folders, as nbgrader looks for them, closed to all that a student has no need to do there. */
import { chmodSync, chownSync, lstatSync, mkdirSync } from "node:fs";
import path from "node:path";
import { SetupError } from "../../setup/setup-error.mjs";

/** The same as the class server tells its students. */
export const courseId = "evenground";

/**
 * Lays the folders out, or mends them. They belong to whoever runs this, root in a class with accounts, from the start.
 *
 * @param {string} exchange
 * @returns {{ outbound: string, inbound: string, feedback: string }}
 */
export function layOut(exchange) {
  const course = path.join(exchange, courseId);
  const outbound = path.join(course, "outbound");
  const inbound = path.join(course, "inbound");
  const feedback = path.join(course, "feedback");
  for (const [folder, mode] of /** @type {const} */ ([
    // nbgrader wants to be able to write here; nobody takes away what is another's.
    [exchange, 0o1777],
    [course, 0o755],
    [outbound, 0o755],
    // To hand in and not to look.
    [inbound, 0o1733],
    // To fetch one's own, whose name nobody else can guess, and not to look.
    [feedback, 0o711],
  ])) {
    mkdirSync(folder, { recursive: true });
    const found = lstatSync(folder);
    const own = process.getuid?.();
    if (!found.isDirectory())
      throw new SetupError(`${folder} is not a folder: remove it, then run this again.`);
    if (own !== undefined && found.uid !== own) {
      if (own !== 0)
        throw new SetupError(
          `${folder} belongs to another account: remove it, or choose another place with --exchange.`,
        );
      if (folder !== exchange)
        throw new SetupError(
          `${folder} was made by the account number ${found.uid}, not by the teacher: what lies there may be forged. Remove it, then run this again.`,
        );
      chownSync(folder, 0, 0);
    }
    chmodSync(folder, mode);
  }
  return { outbound, inbound, feedback };
}
