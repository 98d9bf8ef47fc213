// @ts-check
import { speakPlain } from "./plain-console.mjs";

/** Something that the user can put right: its message is the whole story, in one or two plain sentences. */
export class SetupError extends Error {}

/**
 * The library's own complaints, about a file or a number that was given: their messages tell the user all there is.
 *
 * @param {Error} error
 */
export const isOfLibrary = ({ name }) => /FileError$|^RangeError$/.test(name);

/**
 * Runs a command's main function; a failure that the user can mend is told in words, without a stack.
 *
 * @param {() => number | void | Promise<number | void>} main  returns the exit code, nothing means 0
 * @param {(error: Error) => boolean} [canMend]  which other errors tell the user all there is
 */
export async function runCommand(main, canMend = () => false) {
  speakPlain();
  await undefined; // a command's file is read to its end before it runs
  try {
    process.exitCode = (await main()) ?? 0;
  } catch (error) {
    const told = error instanceof SetupError || (error instanceof Error && canMend(error));
    const words = told ? error.message : ofSystem(error);
    if (words === undefined) throw error;
    console.error(`\n${words}`);
    process.exitCode = 1;
  }
}

/**
 * What to do where the system refuses a file.
 *
 * @param {unknown} error
 * @returns {string | undefined} nothing where it is another kind of failure
 */
export function ofSystem(error) {
  const { code, path: file, dest } = /** @type {NodeJS.ErrnoException & { dest?: string }} */ (error);
  if (!code || !file) return undefined;
  const what = dest ?? file;
  /** @type {{ [code: string]: string }} */
  const known = {
    ENOSPC: `${what} can't be written, for the disk is full: make room, then run this again.`,
    EROFS: `${what} can't be written, for its disk takes no changes: move the course to one that does.`,
    EACCES: `${what} is closed to you, or open in another program: close that, or change the folder's permissions, then run this again.`,
    EBUSY: `${what} is open in another program: close that, then run this again.`,
  };
  return { ...known, EPERM: known.EACCES }[code];
}
