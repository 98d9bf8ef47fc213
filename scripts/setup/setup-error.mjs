// @ts-check
/** Something that the user can put right: its message is the whole story, in one or two plain sentences. */
export class SetupError extends Error {}

/**
 * Runs a command's main function; a failure that the user can mend is told in words, without a stack.
 *
 * @param {() => Promise<number | void>} main  returns the exit code, nothing means 0
 */
export async function runCommand(main) {
  try {
    process.exitCode = (await main()) ?? 0;
  } catch (error) {
    if (!(error instanceof SetupError)) throw error;
    console.error(`\n${error.message}`);
    process.exitCode = 1;
  }
}
