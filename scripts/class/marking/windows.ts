/** What an instructor's computer under Windows can't do, said in words before nbgrader or nobody says it. */
import { isBelow, samePath } from "../../setup/same-path.cjs";
import { SetupError } from "../../setup/setup-error.mjs";

/** Whether nbgrader can carry assignments: its exchange refuses to run on Windows. */
export const hasExchange = (platform: string = process.platform): boolean => platform !== "win32";

/**
 * @throws {SetupError} where nothing can be collected
 */
export function requireExchange(submitted: string, platform?: string): void {
  if (hasExchange(platform)) return;
  throw new SetupError(
    `nbgrader collects nothing on Windows: put what was handed in into ${submitted} as STUDENT/ASSIGNMENT/NOTEBOOK, then mark it.`,
  );
}

/**
 * A warning where the marks' folder is open to others: elsewhere its modes close it, on Windows only a user's own folder is.
 */
export function openToOthers(
  folder: string,
  home: string,
  platform: string = process.platform,
): string | undefined {
  if (platform !== "win32" || samePath(folder, home, platform) || isBelow(folder, home, platform))
    return undefined;
  return `Other accounts of this computer may be able to read ${folder}, where rooms and marks are kept from students: keep it in your own user folder with --folder.`;
}
