/** What differs between Windows, macOS and Linux, each piece with the system as an argument, so that all are tried on any. */
import { createHmac } from "node:crypto";
import { existsSync, mkdirSync, mkdtempSync, readdirSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import path from "node:path";
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import { requireExchange } from "../../scripts/class/marking/exchange";
import { openToOthers } from "../../scripts/class/marking/windows";
import { executeNotebook } from "../../scripts/notebook/execute";
import { joined } from "../../scripts/notebook/format";
import { candidates, findPython } from "../../scripts/setup/find-python.mjs";
import { kernelCommand } from "../../scripts/setup/kernel.mjs";
import { linkFolder } from "../../scripts/setup/links.mjs";
import { requireNode } from "../../scripts/setup/node-version.mjs";
import { npmCommand } from "../../scripts/setup/npm-command.mjs";
import { tooDeep } from "../../scripts/setup/path-length.mjs";
import { ofSystem } from "../../scripts/setup/setup-error.mjs";
import { browserFiles } from "../../scripts/study/browsers";
import { linkModules } from "../../scripts/work/folder.mjs";

const { patiently } = require("../../scripts/setup/patient-files.cjs");
const { isBelow, samePath } = require("../../scripts/setup/same-path.cjs");
const { takeInterrupts } = require("../../scripts/typescript-kernel/interrupt.cjs");
const { isOrphan } = require("../../scripts/typescript-kernel/orphan.cjs");

const root = path.join(__dirname, "..", "..");

let place: string;
beforeEach(() => {
  place = mkdtempSync(path.join(tmpdir(), "systems "));
});
afterEach(() => rmSync(place, { recursive: true, force: true }));

/** A failure of the system, as Node.js throws it. */
const refusal = (code: string) => Object.assign(new Error(code), { code });

describe("the version of Node.js", () => {
  it.each(["20.19.0", "20.20.2", "22.12.0", "24.0.0", "26.10.0"])("%s is taken", (version) => {
    expect(() => requireNode(version)).not.toThrow();
  });
  it.each(["18.20.0", "20.18.3", "21.7.0", "22.11.0"])("%s is refused with what to do", (version) => {
    expect(() => requireNode(version)).toThrow(`Node.js ${version} is too old: install version 24 or newer`);
  });
});

describe("the search for Python", () => {
  type Answer = { code: number; output: string };
  const nowhere: Answer = { code: 127, output: "spawn ENOENT" };
  const system = (platform: string, answers: Record<string, Answer>, more: object = {}) => {
    const asked: string[] = [];
    return {
      asked,
      platform,
      env: { PATH: "/usr/bin:/bin" },
      home: platform === "win32" ? "C:\\Users\\kim" : "/home/kim",
      names: () => [],
      exists: () => false,
      run: async (command: string, args: readonly string[]) => {
        const words = [command, ...args.slice(0, args.indexOf("-c") < 0 ? 9 : args.indexOf("-c"))].join(" ");
        asked.push(words);
        return answers[words] ?? nowhere;
      },
      ...more,
    };
  };
  const version = (text: string): Answer => ({ code: 0, output: `${text}\nvenv` });

  it("takes the first that works, and prefers one whose packages are known to come built", async () => {
    const both = system("linux", { python3: version("3.15.0"), "python3.13": version("3.13.5") });
    expect((await findPython(both)).python).toEqual({ command: "python3.13", args: [], version: "3.13.5" });
    const only = system("linux", { python3: version("3.15.0") });
    expect((await findPython(only)).python).toEqual({ command: "python3", args: [], version: "3.15.0" });
  });

  it.each(["3.10", "3.11", "3.12", "3.13", "3.14"])("knows python%s by its own name", async (minor) => {
    const one = system("linux", { [`python${minor}`]: version(`${minor}.0`) });
    expect((await findPython(one)).python?.version).toBe(`${minor}.0`);
  });

  it("asks Windows' launcher, for a version by name where its own choice is too new", async () => {
    const usual = system("win32", { "py -3": version("3.14.1") });
    expect((await findPython(usual)).python).toEqual({ command: "py", args: ["-3"], version: "3.14.1" });
    const newer = system("win32", { "py -3": version("3.15.0"), "py -3.12": version("3.12.9") });
    expect((await findPython(newer)).python).toEqual({ command: "py", args: ["-3.12"], version: "3.12.9" });
  });

  it("passes over the Store's stand-in, which ends with a failure", async () => {
    const store = system("win32", {
      python: { code: 9009, output: "Python was not found; run without arguments" },
    });
    expect(await findPython(store)).toEqual({});
  });

  it("never starts Apple's stand-in, which opens a window, and says so", async () => {
    const mac = system(
      "darwin",
      { "/usr/bin/xcode-select -p": { code: 2, output: "error: unable" } },
      {
        exists: (file: string) => file === "/usr/bin/python3",
      },
    );
    expect(await findPython(mac)).toEqual({ placeholder: true });
    expect(mac.asked).not.toContain("python3");
  });

  it("takes Apple's Python where it is one, and another one before the stand-in", async () => {
    const withTools = system(
      "darwin",
      {
        "/usr/bin/xcode-select -p": { code: 0, output: "/Library/Developer/CommandLineTools" },
        python3: version("3.10.9"),
      },
      { exists: (file: string) => file === "/usr/bin/python3" },
    );
    expect((await findPython(withTools)).python?.command).toBe("python3");
    const brewed = system(
      "darwin",
      { python3: version("3.13.1") },
      {
        env: { PATH: "/opt/homebrew/bin:/usr/bin" },
        exists: (file: string) => file.endsWith("/python3"),
      },
    );
    expect((await findPython(brewed)).python?.version).toBe("3.13.1");
    const unlinked = system(
      "darwin",
      { "/opt/homebrew/bin/python3": version("3.14.0") },
      {
        exists: (file: string) => file === "/usr/bin/python3",
      },
    );
    expect((await findPython(unlinked)).python?.command).toBe("/opt/homebrew/bin/python3");
  });

  it("goes behind pyenv's shims, which fail until a version is chosen, to the newest version itself", async () => {
    const shim = { code: 127, output: "pyenv: python3: command not found" };
    const newest = "/home/kim/.pyenv/versions/3.12.10/bin/python3";
    const unchosen = system(
      "linux",
      { python3: shim, "python3.12": shim, [newest]: version("3.12.10") },
      {
        names: (folder: string) =>
          folder === "/home/kim/.pyenv/versions" ? ["3.9.1", "3.12.9", "3.12.10", "2.7.18"] : [],
      },
    );
    expect((await findPython(unchosen)).python?.command).toBe(newest);
    const windows = system("win32", {}, { names: () => ["3.11.9"] });
    expect(candidates(windows)).toContainEqual([
      "C:\\Users\\kim\\.pyenv\\pyenv-win\\versions\\3.11.9\\python.exe",
    ]);
  });
});

describe("npm", () => {
  const found =
    (...files: string[]) =>
    (file: string) =>
      files.includes(file);

  it("is run as a script by this Node.js, never as Windows' batch file", () => {
    const script = "C:\\Program Files\\nodejs\\node_modules\\npm\\bin\\npm-cli.js";
    const execPath = "C:\\Program Files\\nodejs\\node.exe";
    expect(npmCommand(["ci"], { platform: "win32", execPath, env: {}, exists: found(script) })).toEqual({
      command: execPath,
      args: [script, "ci"],
      shell: false,
    });
    const beside = "/usr/local/lib/node_modules/npm/bin/npm-cli.js";
    const unix = { platform: "linux", execPath: "/usr/local/bin/node", env: {}, exists: found(beside) };
    expect(npmCommand(["ci"], unix).args).toEqual([beside, "ci"]);
  });

  it("is not taken for another package manager that started us", () => {
    const other = { npm_execpath: "/opt/other/bin/other.js" };
    const system = {
      platform: "linux",
      execPath: "/n/node",
      env: other,
      exists: found("/opt/other/bin/other.js"),
    };
    expect(npmCommand(["ci"], system)).toEqual({ command: "npm", args: ["ci"], shell: false });
    expect(npmCommand(["ci", "--no-audit"], { ...system, platform: "win32" })).toEqual({
      command: "npm ci --no-audit",
      args: [],
      shell: true,
    });
  });
});

describe("a file that something else holds", () => {
  const heldFor = (times: number, code: string) => {
    let left = times;
    return () => {
      if (left-- > 0) throw refusal(code);
      return "done";
    };
  };

  it.each(["EPERM", "EACCES", "EBUSY", "ENOTEMPTY"])(
    "is tried again on Windows after %s, each time later",
    (code) => {
      const pauses: number[] = [];
      const options = { platform: "win32", pause: (ms: number) => pauses.push(ms) };
      expect(patiently(heldFor(4, code), options)).toBe("done");
      expect(pauses).toHaveLength(4);
      expect(pauses).toEqual([...pauses].sort((a, b) => a - b));
    },
  );

  it("is given up after some seconds with the system's own error", () => {
    let waited = 0;
    const pause = (ms: number) => {
      waited += ms;
    };
    expect(() => patiently(heldFor(1000, "EBUSY"), { platform: "win32", pause })).toThrow("EBUSY");
    expect(waited).toBeGreaterThan(5000);
    expect(waited).toBeLessThan(10_000);
  });

  it("is refused at once where a refusal is meant: on other systems, or for another reason", () => {
    const pause = () => {
      throw new Error("waited");
    };
    expect(() => patiently(heldFor(1, "EPERM"), { platform: "linux", pause })).toThrow("EPERM");
    expect(() => patiently(heldFor(1, "ENOENT"), { platform: "win32", pause })).toThrow("ENOENT");
  });
});

describe("two paths", () => {
  it.each([
    ["win32", "C:\\course\\lib", "c:/Course/lib/", true],
    ["win32", "C:\\course\\lib", "D:\\course\\lib", false],
    ["darwin", "/Users/kim/Course", "/users/kim/course/", true],
    ["darwin", "/Users/kim/Caf\u00e9", "/Users/kim/Cafe\u0301", true],
    ["linux", "/home/kim/Course", "/home/kim/course", false],
    ["linux", "/home/kim/a\\b", "/home/kim/a/b", false],
    ["linux", "/", "/", true],
  ])("on %s: is %s %s? %s", (platform, a, b, same) => {
    expect(samePath(a, b, platform)).toBe(same);
  });

  it.each([
    ["win32", "c:/COURSE/notebooks/x", "C:\\course\\notebooks", true],
    ["win32", "D:\\course\\x", "C:\\course", false],
    ["darwin", "/Users/kim/Course/Notebooks/my", "/Users/kim/course/notebooks", true],
    ["linux", "/course/Notebooks/my", "/course/notebooks", false],
    ["linux", "/course/..my", "/course", true],
    ["linux", "/courses", "/course", false],
    ["linux", "/course", "/course", false],
  ])("on %s: does %s lie below %s? %s", (platform, inner, outer, below) => {
    expect(isBelow(inner, outer, platform)).toBe(below);
  });
});

describe("a kernel whose starter has ended", () => {
  it("has another parent, except on Windows, where the old one is asked for", () => {
    const gone = () => {
      throw refusal("ESRCH");
    };
    const there = () => true;
    expect(isOrphan(7, { platform: "linux", ppid: 1, kill: there })).toBe(true);
    expect(isOrphan(7, { platform: "linux", ppid: 7, kill: gone })).toBe(false);
    expect(isOrphan(7, { platform: "win32", ppid: 7, kill: gone })).toBe(true);
    expect(isOrphan(7, { platform: "win32", ppid: 7, kill: there })).toBe(false);
  });

  it("is told from one whose starter lives by asking the system for a process", async () => {
    const { spawn } = await import("node:child_process");
    const child = spawn(process.execPath, ["-e", "setInterval(() => {}, 1000)"]);
    const kill = (id: number, signal: 0) => process.kill(id, signal);
    expect(isOrphan(child.pid, { platform: "win32", ppid: 0, kill })).toBe(false);
    child.kill("SIGKILL");
    await new Promise((resolve) => child.once("exit", resolve));
    expect(isOrphan(child.pid, { platform: "win32", ppid: 0, kill })).toBe(true);
  });
});

describe("the wish to stop a cell", () => {
  /** A message as Jupyter sends it, by its documentation's wire protocol. */
  const message = (type: string, key: string) => {
    const parts = [{ msg_id: "1", msg_type: type, session: "s" }, {}, {}, {}].map((part) =>
      JSON.stringify(part),
    );
    const signature = createHmac("sha256", key).update(parts.join("")).digest("hex");
    return ["who", "<IDS|MSG>", signature, ...parts].map((frame) => Buffer.from(frame));
  };
  const kernel = () => {
    const seen = { interrupts: 0, handled: 0, sent: [] as unknown[][] };
    class Server {
      connInfo = { key: "secret" };
      async handleShellMessage() {
        seen.handled++;
      }
    }
    takeInterrupts(Server, () => seen.interrupts++);
    const socket = { send: (frames: unknown[]) => seen.sent.push(frames) };
    const server: { handleShellMessage: (...what: unknown[]) => Promise<void> } = new Server();
    return { seen, give: (frames: Buffer[]) => server.handleShellMessage(socket, ...frames) };
  };

  it("comes as a message where there are no signals, and is answered", async () => {
    const { seen, give } = kernel();
    await give(message("interrupt_request", "secret"));
    expect(seen).toMatchObject({ interrupts: 1, handled: 0 });
    const [who, , signature, header, parent, metadata, content] = seen.sent[0].map(String);
    expect([who, JSON.parse(header).msg_type, JSON.parse(parent).msg_id]).toEqual([
      "who",
      "interrupt_reply",
      "1",
    ]);
    expect(JSON.parse(content)).toEqual({ status: "ok" });
    const expected = createHmac("sha256", "secret").update([header, parent, metadata, content].join(""));
    expect(signature).toBe(expected.digest("hex"));
  });

  it("is not taken from somebody without the key, and leaves all other messages as they were", async () => {
    const { seen, give } = kernel();
    await give(message("interrupt_request", "guessed"));
    expect(seen).toMatchObject({ interrupts: 0, handled: 0, sent: [] });
    await give(message("execute_request", "secret"));
    expect(seen).toMatchObject({ interrupts: 0, handled: 1, sent: [] });
  });
});

describe("an instructor's computer under Windows", () => {
  it("is told that there is no exchange, and what to do instead", () => {
    expect(() => requireExchange("C:\\grading\\submitted", "win32")).toThrow(
      /no exchange on Windows: put what was handed in into C:\\grading\\submitted/,
    );
    expect(() => requireExchange("/grading/submitted", "linux")).not.toThrow();
  });

  it("is told where no mode keeps the marks' folder to its owner, unless it lies in the user's own folder", () => {
    const home = "C:\\Users\\kim";
    expect(openToOthers("D:\\grading", home, "win32")).toMatch(
      /Other accounts .* may be able to read D:\\grading/,
    );
    expect(openToOthers("c:\\users\\Kim\\grading", home, "win32")).toBeUndefined();
    expect(openToOthers("/srv/grading", "/home/kim", "linux")).toBeUndefined();
  });
});

describe("a work folder on a disk without links", () => {
  const withoutLinks = (target: string, link: string) =>
    linkFolder(target, link, () => {
      throw refusal("EPERM");
    });

  it("reaches library and packages all the same, types included, at the second start too", async () => {
    mkdirSync(path.join(place, "node_modules", "mine"), { recursive: true });
    for (let start = 0; start < 2; start++) linkModules(place, withoutLinks);
    const source =
      'import * as library from "evenground"; import { evaluate } from "mathjs"; console.log(Object.keys(library).length > 10, evaluate("2 m to cm").toString());';
    const wrong = '// fails\nimport { noSuchName } from "evenground";';
    const cells = [source, wrong].map((code) => ({
      cell_type: "code",
      metadata: { tags: code.startsWith("// fails") ? ["raises-exception"] : [] },
      source: code,
      outputs: [],
    }));
    const ran = await executeNotebook({ cells }, { argv: kernelCommand, folder: place });
    const said = ran.notebook.cells.map(({ outputs }) => outputs.map(({ text }) => joined(text)).join(""));
    expect(said[0]).toBe("true 200 cm\n");
    expect(said[1]).toContain("noSuchName");
    expect(existsSync(path.join(place, "node_modules", "mine"))).toBe(true);
  });

  it("is told from a link that failed for another reason", () => {
    const full = () => {
      throw refusal("ENOSPC");
    };
    writeFileSync(path.join(place, "file"), "");
    expect(() => linkFolder(place, path.join(place, "link"), full)).toThrow("ENOSPC");
  });
});

describe("a folder with a long path", () => {
  it("is told on Windows before anything is set up, with what to do", () => {
    const deep = `C:\\Users\\kim\\${"folder\\".repeat(12)}course`;
    expect(tooDeep(deep, "win32")).toMatch(/has a long path \(\d+ characters\).*move the course/);
    expect(tooDeep("C:\\Users\\kim\\Documents\\evenground", "win32")).toBeUndefined();
    expect(tooDeep(deep, "linux")).toBeUndefined();
  });
});

describe("the browser that prints and is tested with", () => {
  it("is found on Windows for everybody and for one user, Edge with the 32-bit programs", () => {
    const env = { "ProgramFiles(x86)": "C:\\Program Files (x86)", LOCALAPPDATA: "D:\\Kim\\Local" };
    const files = browserFiles({ platform: "win32", env, home: "C:\\Users\\kim" });
    expect(files).toContain("C:\\Program Files\\Google\\Chrome\\Application\\chrome.exe");
    expect(files).toContain("D:\\Kim\\Local\\Google\\Chrome\\Application\\chrome.exe");
    expect(files).toContain("D:\\Kim\\Local\\Chromium\\Application\\chrome.exe");
    expect(files).toContain("C:\\Program Files (x86)\\Microsoft\\Edge\\Application\\msedge.exe");
  });

  it("is found on a Mac among everybody's applications and one's own", () => {
    const files = browserFiles({ platform: "darwin", env: {}, home: "/Users/kim" });
    expect(files).toContain("/Applications/Chromium.app/Contents/MacOS/Chromium");
    expect(files).toContain("/Users/kim/Applications/Google Chrome.app/Contents/MacOS/Google Chrome");
    expect(files).toContain("/Applications/Microsoft Edge.app/Contents/MacOS/Microsoft Edge");
  });

  it("is found elsewhere by its name among the programs, the first folder first", () => {
    const files = browserFiles({ platform: "linux", env: { PATH: "/opt/bin:/usr/bin" }, home: "/home/kim" });
    expect(files.indexOf("/opt/bin/chromium")).toBeLessThan(files.indexOf("/usr/bin/chromium"));
    expect(files).toContain("/usr/bin/google-chrome");
  });
});

describe("a file that the system refuses", () => {
  it.each([
    ["ENOSPC", /work\/01.ipynb can't be written, for the disk is full/],
    ["EBUSY", /open in another program: close that/],
    ["EPERM", /open in another program: close that/],
  ])("is told in words: %s", (code, words) => {
    expect(ofSystem(Object.assign(refusal(code), { path: "work/01.ipynb" }))).toMatch(words);
  });

  it("is not mistaken for a fault of ours", () => {
    expect(ofSystem(new TypeError("x is not a function"))).toBeUndefined();
    expect(ofSystem(refusal("ECONNREFUSED"))).toBeUndefined();
    expect(ofSystem(Object.assign(refusal("ENOENT"), { path: "x" }))).toBeUndefined();
  });
});

describe("the names in the repository", () => {
  /** Paths below the root of all that is kept. */
  const names = ["data", "lib", "notebooks", "scripts", "tests"].flatMap((folder) =>
    readdirSync(path.join(root, folder), { recursive: true, encoding: "utf8" })
      .filter((name) => !name.includes("node_modules"))
      .map((name) => path.join(folder, name)),
  );

  it("can stand on every system's disk: no two differ by capitals alone, none is reserved on Windows", () => {
    expect(names.length).toBeGreaterThan(300);
    expect(new Set(names.map((name) => name.toLowerCase())).size).toBe(names.length);
    const reserved = /(^|\/)(con|prn|aux|nul|com\d|lpt\d)(\.|\/|$)|[<>:"\\|?*]|[ .](\/|$)/i;
    expect(names.filter((name) => reserved.test(name))).toEqual([]);
  });

  it("are short enough to stand below a folder of Windows' usual length", () => {
    expect(Math.max(...names.map((name) => name.length))).toBeLessThan(120);
  });
});
