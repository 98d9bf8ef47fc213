// @ts-check
/** Windows' programs, Python's installer among them, take paths of 259 characters unless the system has been told to take more. */
import { root } from "./places.mjs";

const longest = 259;
/** Below the course's folder: what JupyterLab's environment unpacks (161 in the lock for Windows) and a little to spare. */
const below = 170;

/**
 * @param {string} [folder]  the course's
 * @param {string} [platform]
 * @returns {string | undefined} a warning with its remedy
 */
export function tooDeep(folder = root, platform = process.platform) {
  if (platform !== "win32" || folder.length + 1 + below <= longest) return undefined;
  return `The course's folder has a long path (${folder.length} characters), and Windows may refuse files deeper in it. If setting up fails, move the course nearer to the top of a drive, such as C:\\evenground, or have Windows allow long paths (LongPathsEnabled), then run this again.`;
}
