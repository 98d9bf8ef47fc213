/**
 * What the commands take on their command lines: whatever is written there, they begin with options that make sense, or
 * end with a sentence that names what is wrong, before anything is set up or changed.
 */
import { spawnSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { builtinModules } from "node:module";
import { tmpdir } from "node:os";
import path from "node:path";
import fc from "fast-check";
import { afterAll, beforeAll, describe, expect, it, vi } from "vitest";
import { readBenchOptions } from "../../scripts/bench/options";
import { readBookOptions } from "../../scripts/book/options";
import { readGradeOptions } from "../../scripts/class/marking/options";
import { readClassOptions } from "../../scripts/class/server/options.mjs";
import { readCompareOptions } from "../../scripts/compare/options";
import { readHallsOptions } from "../../scripts/halls/options";
import { readLayoutsOptions } from "../../scripts/layouts/options";
import { readMutantsOptions } from "../../scripts/mutants/options";
import { readNewShowOptions } from "../../scripts/new-show/options";
import { readCourseOptions } from "../../scripts/notebook/options";
import { readRecordOptions } from "../../scripts/record/options";
import { readSignalsOptions } from "../../scripts/signals/options";
import { readStartOptions } from "../../scripts/start/options.mjs";
import { readStudyOptions } from "../../scripts/study/options";

/** What npm runs. */
const lines: { readonly [command: string]: string } = JSON.parse(
  readFileSync(path.join(__dirname, "..", "..", "package.json"), "utf8"),
).scripts;
const wordsOf = (command: string) => lines[command].split(" ").slice(1);

/** For each of these commands. */
const RUNS = Math.ceil(Number(process.env.EVENGROUND_CASES ?? 4000) / 4);
const root = path.join(__dirname, "..", "..");
let folder: string;
let list: string;
beforeAll(() => {
  folder = mkdtempSync(path.join(tmpdir(), "arguments "));
  list = path.join(folder, "names.txt");
  writeFileSync(list, "ada\nbo\n");
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const whole = (least: number, most: number) => (value: unknown) =>
  Number.isInteger(value) && (value as number) >= least && (value as number) <= most;
const text = (value: unknown) => typeof value === "string" && value !== "";
const maybe = (holds: (value: unknown) => boolean) => (value: unknown) => value === undefined || holds(value);
const flag = (value: unknown) => typeof value === "boolean";

/** For each command: how it reads, the words that it knows, and what its options must then be. */
const commands: {
  readonly [name: string]: {
    readonly read: (args: string[]) => unknown;
    readonly knows: readonly string[];
    readonly holds: { readonly [option: string]: (value: unknown) => boolean };
  };
} = {
  start: {
    read: readStartOptions,
    knows: ["--no-browser", "--port", "--work", "9000"],
    holds: {
      browser: flag,
      port: maybe(whole(1024, 65535)),
      work: maybe((value) => typeof value === "string"),
    },
  },
  class: {
    read: (args) => readClassOptions(["--one-account", "--students", list, ...args]),
    knows: [
      "--port",
      "--host",
      "--memory",
      "--idle",
      "--teacher",
      "--folder",
      "--tls-key",
      "--tls-cert",
      "8000",
    ],
    holds: {
      port: whole(1, 65535),
      memory: whole(300, 1e6),
      idle: whole(1, 1e5),
      host: text,
      folder: text,
      teacher: text,
    },
  },
  grade: {
    read: readGradeOptions,
    knows: [
      "release",
      "collect",
      "mark",
      "marks",
      "key",
      "misconceptions",
      "one-decision",
      "--folder",
      "--exchange",
    ],
    holds: { command: text, folder: text, exchange: text },
  },
  study: {
    read: readStudyOptions,
    knows: ["data/shows/harbour-theatre", "--seats", "--out", "--pdf", "500"],
    holds: { show: (value) => typeof value === "string", seats: whole(10, 20000), pdf: flag },
  },
  "new-show": {
    read: readNewShowOptions,
    knows: ["my show", "--write", "--units", "ft", "--array-height", "6", "--positions", "row A=3", "--name"],
    holds: {
      folder: (value) => typeof value === "string",
      write: flag,
      form: (value) => typeof value === "object",
    },
  },
  compare: {
    read: readCompareOptions,
    knows: ["data/shows/harbour-theatre", "my show", "--out"],
    holds: {
      before: (value) => typeof value === "string",
      after: (value) => typeof value === "string",
      out: text,
    },
  },
  record: {
    read: readRecordOptions,
    knows: [
      "my show",
      "--devices",
      "--device",
      "--inputs",
      "--microphones",
      "2-7",
      "--loop-back",
      "--positions",
      "8",
    ],
    holds: {
      inputs: whole(1, 64),
      reference: whole(1, 64),
      microphones: (value) => Array.isArray(value) && value.length > 0 && value.every(whole(1, 64)),
      seconds: whole(8, 120),
    },
  },
  signals: {
    read: readSignalsOptions,
    knows: [
      "signals",
      "--only",
      "noise",
      "--rate",
      "48000",
      "--seconds",
      "30",
      "--from",
      "--to",
      "--below",
      "20",
    ],
    holds: {
      folder: (value) => typeof value === "string",
      rate: whole(8000, 192_000),
      level: whole(-80, -6),
    },
  },
  layouts: {
    read: readLayoutsOptions,
    knows: ["data/venues/harbour-theatre.json", "--seats", "--seed", "--candidates", "--out", "500"],
    holds: {
      venue: (value) => typeof value === "string",
      seats: whole(10, 5000),
      seed: whole(0, 2 ** 31 - 1),
      candidates: whole(1, 1e6),
    },
  },
  bench: {
    read: readBenchOptions,
    knows: ["--json", "--fresh", "--only"],
    holds: { fresh: flag, only: (v) => typeof v === "string" },
  },
  course: {
    read: readCourseOptions,
    knows: ["level"],
    holds: { only: maybe((value) => typeof value === "string") },
  },
  mutants: {
    read: readMutantsOptions,
    knows: ["acoustics/level", "--share", "--seed", "--processes", "20"],
    holds: { room: (v) => typeof v === "string", share_percent: whole(1, 100), seed: whole(0, 2 ** 31 - 1) },
  },
  halls: {
    read: readHallsOptions,
    knows: ["--count", "--faults", "--seed", "--shows", "--keep", "--json", "20"],
    holds: { count: whole(0, 10_000), faults: whole(0, 1000), seed: whole(0, 2 ** 31 - 1) },
  },
  book: {
    read: (args: string[]) => readBookOptions("npm run book", args),
    knows: ["--as-it-ran"],
    holds: { asItRan: flag },
  },
};

describe.each(Object.keys(commands))("the command line of %s", (name) => {
  const { read, knows, holds } = commands[name];

  it("gives options that make sense, help, or a sentence, whatever stands there", () => {
    const word = fc.oneof(
      { weight: 4, arbitrary: fc.constantFrom(...knows) },
      {
        weight: 1,
        arbitrary: fc.constantFrom(
          "--help",
          "-h",
          "--",
          "-",
          "--x",
          "--port=",
          "--folder=",
          "",
          " ",
          "0",
          "-1",
          "1e999",
          "NaN",
          "../..",
          "a\nb",
        ),
      },
      { weight: 1, arbitrary: fc.string({ maxLength: 20, unit: "binary" }) },
      { weight: 1, arbitrary: fc.oneof(fc.integer(), fc.double()).map(String) },
      {
        weight: 1,
        arbitrary: fc
          .tuple(fc.constantFrom(...knows), fc.string({ maxLength: 8 }))
          .map((pair) => pair.join("=")),
      },
    );
    const said = vi.spyOn(console, "log").mockImplementation(() => {});
    const ends = { options: 0, sentences: 0 };
    fc.assert(
      fc.property(fc.array(word, { maxLength: 6 }), (args) => {
        let found: unknown;
        try {
          found = read(args);
        } catch (error) {
          expect((error as Error).constructor.name).toBe("SetupError");
          found = (error as Error).message;
        }
        if (typeof found === "string") {
          ends.sentences++;
          expect(found.length).toBeGreaterThan(15);
          expect(found.replace(args.join(" "), "")).not.toMatch(/Cannot |undefined is|\[object|at \w+ \(/);
        } else if (found !== undefined) {
          ends.options++;
          for (const [option, holdsFor] of Object.entries(holds))
            expect(
              holdsFor((found as { [option: string]: unknown })[option]),
              `${option} of ${JSON.stringify(args)}`,
            ).toBe(true);
        }
      }),
      { numRuns: RUNS, seed: 7 },
    );
    said.mockRestore();
    expect(ends.options).toBeGreaterThan(RUNS / 200);
    expect(ends.sentences).toBeGreaterThan(RUNS / 5);
  });
});

describe("a wrong command line, in a process of its own", () => {
  const wrong: [command: string, args: string[], says: RegExp][] = [
    ["start", ["--port", "80"], /--port is "80", expected a whole number from 1024 to 65535/],
    ["start", ["--colour"], /no option --colour\.[\s\S]*--no-browser/],
    ["start", ["--prot", "9000"], /no option --prot\. Did you mean --port\?/],
    ["start", ["--port"], /--port needs a value: NUMBER/],
    ["start", ["--no-browser=yes"], /--no-browser takes no value/],
    ["start", ["here"], /here/],
    ["start", ["--work", "scripts/start"], /belongs to the course: choose another one/],
    ["class", [], /--students is missing|run this as root|does not run on Windows/],
    ["class", ["--one-account", "--students", "no such list"], /not there: check its path/],
    ["class", ["--one-account", "--port", "x"], /--students is missing/],
    ["grade", ["relese"], /There is no "relese"\. Did you mean release\?/],
    ["grade", ["release"], /Which assignment\?, expected one of/],
    ["grade", ["release", "algebra"], /There is no assignment "algebra"/],
    ["grade", ["marks", "now"], /"now" is one word too many/],
    ["grade", ["validate", "nothing.ipynb"], /not there: give the path of a notebook/],
    ["bench", ["--onyl", "field"], /--onyl\. Did you mean --only\?/],
    ["bench", ["field"], /"field" is one word too many/],
    ["course", ["--level"], /--level/],
    ["course", ["no lesson has this name"], /No notebook's name contains "no lesson has this name"/],
    ["course", ["level", "room"], /"room" is one word too many/],
    ["book", ["--as-it-rann"], /--as-it-rann/],
    ["book", ["now"], /"now" is one word too many/],
    ["study", [], /SHOW is missing: a show file/],
    ["study", ["no such show"], /no such show/],
    ["study", ["a", "b"], /"b" is one word too many/],
    [
      "study",
      ["data/shows/harbour-theatre", "--seats", "all"],
      /--seats is "all", expected a whole number from 10 to 20000/,
    ],
    ["study", ["package.json"], /package\.json/],
    ["new-show", [], /FOLDER is missing: a folder with recordings/],
    ["new-show", ["no such folder"], /is no folder: give the one that holds the recordings/],
    ["new-show", ["scripts"], /holds no WAV file that can be read/],
    ["new-show", ["scripts", "--units", "yards"], /expected one of m, ft/],
    ["new-show", ["scripts", "--back", "far"], /--back is "far", expected a number from 2\.0 to 200\.0/],
    ["new-show", ["scripts", "--positions", "row A"], /expected a name, = and a distance/],
    ["compare", ["data/shows/harbour-theatre"], /SHOW-B is missing: another one/],
    ["compare", ["data/shows/harbour-theatre", "no such show"], /no such show/],
    ["record", [], /FOLDER is missing: the show's folder/],
    ["record", ["x", "--inputs", "65"], /--inputs is "65", expected a whole number from 1 to 64/],
    ["record", ["x", "--loop-back", "9"], /--loop-back is 9, but only 8 inputs are recorded/],
    [
      "record",
      ["x", "--microphones", "1-3"],
      /different inputs from 1 to 8 without the loop-back's, 1: 1 is not one/,
    ],
    ["record", ["x", "--microphones", "two"], /expected numbers such as 2-7/],
    ["signals", [], /FOLDER is missing: where the WAV files go/],
    ["signals", ["x", "--only", "nois"], /expected one of noise, sweep, polarity\. Did you mean noise\?/],
    ["layouts", [], /VENUE is missing: a venue file/],
    ["layouts", ["no such venue"], /there is no file no such venue/],
    ["layouts", ["package.json"], /venue "package\.json" has \d+ problems/],
    [
      "layouts",
      ["data/venues/harbour-theatre.json", "--seed", "1.5"],
      /--seed is "1.5", expected a whole number/,
    ],
    ["layouts", ["data/venues/harbour-theatre.json", "package.json"], /limits "package\.json"/],
  ];

  it.each(wrong)("%s %j says so and changes nothing", (command, args, says) => {
    const env = { ...process.env, INIT_CWD: root, EVENGROUND_WORK: "" };
    const { status, stdout, stderr } = spawnSync(process.execPath, [...wordsOf(command), ...args], {
      cwd: root,
      env,
      encoding: "utf8",
    });
    expect(stdout + stderr).toMatch(says);
    expect(stdout + stderr).not.toMatch(/^\s+at .*:\d+:\d+\)?$/m);
    expect(status).toBeGreaterThan(0);
  });

  it.each(Object.keys(commands))("%s --help ends well", (command) => {
    const { status, stdout, stderr } = spawnSync(process.execPath, [...wordsOf(command), "--help"], {
      cwd: root,
      encoding: "utf8",
    });
    expect(stdout + stderr).toContain(`npm ${command === "start" ? "start" : `run ${command}`} --`);
    expect(status).toBe(0);
  });
});

describe("a command", () => {
  it.each(Object.keys(lines))(
    "%s begins with nothing installed: it asks for packages of npm only after it has set them up",
    (command) => {
      const words = lines[command].split(" && ").map((line) => line.split(" "));
      for (const [program, ...args] of words.filter(([first]) => first !== "bash")) {
        const script = args.find((word) => !word.startsWith("--")) ?? "";
        expect(program).toBe("node");
        expect(script).toMatch(/^scripts\/(start|run|class\/class)\.mjs$/);
        expect(packagesAtStart(path.join(root, script))).toEqual([]);
      }
    },
  );
});

/** What is imported before a file's first line runs, files of ours followed. */
function packagesAtStart(file: string, seen = new Set<string>()): string[] {
  if (seen.has(file)) return [];
  seen.add(file);
  const imports = readFileSync(file, "utf8").matchAll(
    /^(?:import|export)\s[^;]*?from "([^"]+)"|^import "([^"]+)"/gm,
  );
  return [...imports].flatMap(([, from, alone]) => {
    const name = from ?? alone;
    if (name.startsWith(".")) return packagesAtStart(path.resolve(path.dirname(file), name), seen);
    return name.startsWith("node:") || builtinModules.includes(name)
      ? []
      : [`${name}, by ${path.relative(root, file)}`];
  });
}
