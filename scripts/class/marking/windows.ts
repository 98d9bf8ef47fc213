/** What file modes do nothing for on Windows. */
import { isBelow, samePath } from "../../setup/same-path.cjs";

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
