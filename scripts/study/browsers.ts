/** Where browsers of the Chromium family are installed: for everybody, or for one user alone, which needs no administrator. */
import path from "node:path";

interface System {
  readonly platform: string;
  readonly env: Readonly<Record<string, string | undefined>>;
  /** The user's own folder. */
  readonly home: string;
}

/** Every file that may be one, best first. */
export function browserFiles(system: System): string[] {
  if (system.platform === "win32") return onWindows(system);
  return system.platform === "darwin" ? [...inPath(system), ...onMac(system)] : inPath(system);
}

/** A program for one user lies in the local application data; 32-bit ones, as Edge, in a folder of their own. */
function onWindows({ env, home }: System): string[] {
  const { join } = path.win32;
  const folders = [
    env.ProgramFiles ?? "C:\\Program Files",
    env["ProgramFiles(x86)"] ?? "C:\\Program Files (x86)",
    env.LOCALAPPDATA ?? join(home, "AppData", "Local"),
  ];
  const programs = ["Google\\Chrome\\Application\\chrome.exe", "Chromium\\Application\\chrome.exe"];
  const edge = "Microsoft\\Edge\\Application\\msedge.exe";
  return [...programs, edge].flatMap((program) => folders.map((folder) => join(folder, program)));
}

function onMac({ home }: System): string[] {
  const { join } = path.posix;
  const names = ["Google Chrome", "Chromium", "Microsoft Edge"];
  const folders = ["/Applications", join(home, "Applications")];
  return names.flatMap((name) =>
    folders.map((folder) => join(folder, `${name}.app`, "Contents", "MacOS", name)),
  );
}

function inPath({ env }: System): string[] {
  const names = ["chromium", "chromium-browser", "google-chrome", "google-chrome-stable", "microsoft-edge"];
  const folders = (env.PATH ?? "").split(":").filter(Boolean);
  return folders.flatMap((folder) => names.map((name) => path.posix.join(folder, name)));
}
