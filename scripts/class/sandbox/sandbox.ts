/** A process for a stranger's program, shut in as well as the system allows. */
import { type ChildProcess, execFileSync, type SpawnOptions, spawn, spawnSync } from "node:child_process";
import { randomInt } from "node:crypto";
import { chmodSync, existsSync, mkdtempSync, realpathSync, symlinkSync } from "node:fs";
import { tmpdir } from "node:os";
import path from "node:path";
import { remove } from "../../setup/patient-files.cjs";
import { inRoot } from "../../setup/places.mjs";
import { SetupError } from "../../setup/setup-error.mjs";

/** One way to shut programs in. */
export interface Sandbox {
  /** What it keeps away, for whoever relies on it. */
  readonly says: string;
  /** How to start a program of Node.js, a file below `scripts/`. */
  command(program: string): Command;
}

interface Command {
  readonly file: string;
  readonly args: readonly string[];
  readonly options: SpawnOptions;
  /** Removes what it has laid out. */
  tidy(): void;
}

/** A program that runs shut in; its files 3 and 4 are pipes from and to us. */
export interface Shut {
  readonly child: ChildProcess;
  /** Ends it with all that it has started, and removes what it wrote. */
  end(): void;
}

/** Bytes of memory and of a file, processes with their threads, open files, seconds of the processor. */
const limits = { data: 2e9, fsize: 16e6, nproc: 64, nofile: 256, cpu: 300, core: 0 };
const heap = "--max-old-space-size=1000";

const node = realpathSync(process.execPath);
const ofCourse = ["dist", "node_modules", "scripts", "data", "package.json"].map((name) => inRoot(name));
const environment = { PATH: "/nowhere", EVENGROUND_MODULES: inRoot("node_modules") };
const folderOf = (file: string) => inRoot("scripts", "class", "sandbox", file);

/** On Linux as root: an account that nobody has, no network, no other processes, a root folder that holds the course alone. */
export const byAccount: Sandbox = {
  says: "an account of its own, no network, and no files but the course's",
  command(program) {
    const account = freeAccount();
    return entered(["--mount"], limits.nproc, account, program);
  },
};

/** On Linux for everybody else, where the system allows it: the same as nobody of a user namespace. */
export const byUserNamespace: Sandbox = {
  says: "no network, and no files but the course's, in a namespace of its own",
  command: (program) =>
    // All of one's own processes count.
    entered(["--user", "--map-root-user", "--mount"], limits.nproc + ownThreads(), "-", program),
};

/** On macOS, whose own sandbox takes a profile. */
export const byProfile: Sandbox = {
  says: "no network, and no files but the course's and the system's, by macOS' sandbox",
  command(program) {
    const scratch = scratchFolder();
    const read = [
      ...ofCourse,
      path.dirname(node),
      scratch,
      "/usr/lib",
      "/System",
      "/Library/Apple",
      "/private/var/db/dyld",
    ];
    const profile = [
      "(version 1)",
      "(deny default)",
      "(allow sysctl-read)",
      `(allow process-exec (literal ${JSON.stringify(node)}))`,
      '(allow file-read-metadata)(allow file-read* (literal "/dev/urandom") (literal "/dev/null"))',
      ...read.map((place) => `(allow file-read* (subpath ${JSON.stringify(realpathSync.native(place))}))`),
    ].join("");
    return inScratch(scratch, "sandbox-exec", ["-p", profile, node, heap, program]);
  },
};

/** Anywhere: what Node.js itself can deny a program. Its network is shut from Node.js 25 on. */
export const byPermissions: Sandbox = {
  says: `no files but the course's and no other programs, by Node.js' permissions${Number(process.versions.node.split(".")[0]) >= 25 ? "" : "; the network is NOT shut: mark without one"}`,
  command(program) {
    const scratch = scratchFolder();
    const [major, minor] = process.versions.node.split(".").map(Number);
    const flag = major > 22 || (major === 22 && minor >= 13) ? "--permission" : "--experimental-permission";
    const read = [...ofCourse, scratch].map(
      (place) => `--allow-fs-read=${place}${place.endsWith(".json") ? "" : `${path.sep}*`}`,
    );
    return inScratch(scratch, node, [flag, ...read, "--no-warnings", heap, program]);
  },
};

/**
 * The strongest that works here, tried and not supposed.
 *
 * @throws SetupError where none does
 */
export function strongestSandbox(): Sandbox {
  const ways = {
    linux: [...(process.getuid?.() === 0 ? [byAccount] : []), byUserNamespace, byPermissions],
    darwin: [byProfile, byPermissions],
  } as { readonly [platform: string]: readonly Sandbox[] };
  const found = (ways[process.platform] ?? [byPermissions]).find(holds);
  if (!found)
    throw new SetupError(
      "Nothing on this computer can shut in a program that a stranger wrote, so nothing is marked here.",
    );
  return found;
}

/** Whether a program runs there and reaches nothing that it should not. */
export function holds(sandbox: Sandbox): boolean {
  const { file, args, options, tidy } = sandbox.command(folderOf("probe.cjs"));
  const { output } = spawnSync(file, args, { ...options, timeout: 30_000, encoding: "utf8" } as object);
  tidy();
  return String(output?.[4]) === "shut in\n";
}

/** Starts a program in a sandbox. */
export function startIn(sandbox: Sandbox, program: string): Shut {
  const { file, args, options, tidy } = sandbox.command(program);
  const child = spawn(file, args, options);
  let ended = false;
  return {
    child,
    end() {
      if (ended) return;
      ended = true;
      try {
        // What it started is of its group; what was to leave the group, of its namespace, which ends with its first process.
        if (process.platform === "win32") child.kill();
        else process.kill(-(child.pid ?? 0), "SIGKILL");
      } catch {
        // it has ended by itself
      }
      tidy();
    },
  };
}

const stdio: SpawnOptions["stdio"] = ["ignore", "ignore", "ignore", "pipe", "pipe"];

function entered(
  namespaces: readonly string[],
  processes: number,
  account: string,
  program: string,
): Command {
  const mountPoint = mkdtempSync(path.join(tmpdir(), "evenground-root-"));
  chmodSync(mountPoint, 0o755);
  const bounds = Object.entries({ ...limits, nproc: processes }).map(([name, most]) => `--${name}=${most}`);
  return {
    file: "unshare",
    args: [
      ...[...namespaces, "--net", "--pid", "--ipc", "--uts", "--fork", "--kill-child", "--"],
      ...["prlimit", ...bounds, "--"],
      ...["sh", folderOf("enter.sh"), mountPoint, account],
      ...[...ofNode(), ...ofCourse, "--"],
      ...[node, heap, program],
    ],
    options: {
      cwd: "/",
      env: { ...environment, EVENGROUND_SCRATCH: "/scratch", PATH: "/usr/sbin:/usr/bin:/sbin:/bin" },
      stdio,
      detached: true,
    },
    tidy: () => remove(mountPoint),
  };
}

/** Node.js with the libraries that it needs. */
function ofNode(): string[] {
  const { stdout } = spawnSync("ldd", [node], { encoding: "utf8" });
  const libraries = stdout?.match(/\/\S+/g) ?? [];
  return [node, ...libraries, "/usr/share/nodejs"].filter((file) => existsSync(file));
}

/** A number that is no account's: those that systemd, too, gives to services for a while. */
function freeAccount(): string {
  for (;;) {
    const number = String(randomInt(61_184, 65_520));
    if (spawnSync("getent", ["passwd", number]).status !== 0) return number;
  }
}

function ownThreads(): number {
  try {
    const user = String(process.getuid?.());
    return execFileSync("ps", ["-L", "-U", user, "-o", "pid="], { encoding: "utf8" }).split("\n").length;
  } catch {
    return 4000;
  }
}

function scratchFolder(): string {
  const scratch = realpathSync(mkdtempSync(path.join(tmpdir(), "evenground-scratch-")));
  symlinkSync(inRoot("node_modules"), path.join(scratch, "node_modules"), "junction");
  return scratch;
}

const inScratch = (scratch: string, file: string, args: readonly string[]): Command => ({
  file,
  args,
  options: { cwd: scratch, env: environment, stdio, detached: process.platform !== "win32" },
  tidy: () => remove(scratch),
});
