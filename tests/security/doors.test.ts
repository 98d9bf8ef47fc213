/** What a show folder may hold in place of plain files, and names that are more than names: each is told in a sentence. */
import { execFileSync } from "node:child_process";
import { readFileSync, rmSync, symlinkSync, writeFileSync } from "node:fs";
import path from "node:path";
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import { channelHealth } from "../../lib/measurement/health/channel";
import { recordingHealth } from "../../lib/measurement/health/recording";
import { measureShow } from "../../lib/study/measure";
import { readShow } from "../../lib/study/read-show";
import { readVenue } from "../../lib/venue/file/read";
import { plain } from "../../scripts/setup/plain-console.mjs";
import { smallShow, writeSmallShow } from "./small-show";

let folder: string;
beforeEach(() => {
  folder = writeSmallShow(smallShow((n) => `name ${n}`));
});
afterEach(() => rmSync(path.dirname(folder), { recursive: true, force: true }));
const inFolder = (name: string) => path.join(folder, name);
const instead = (name: string, make: (file: string) => void) => {
  rmSync(inFolder(name), { force: true });
  make(inFolder(name));
};
const linkTo = (target: string) => (file: string) => symlinkSync(target, file);
const pipe = (file: string) => {
  execFileSync("mkfifo", [file]);
};
const problems = () => measureShow(readShow(folder)).problems.join("\n");
const told = (read: () => unknown): string => {
  try {
    read();
  } catch (error) {
    return (error as Error).message;
  }
  return "";
};

describe.runIf(process.platform === "linux")("in place of a file", () => {
  it.each([
    ["an endless device", linkTo("/dev/zero"), /leads out of the show's folder/],
    ["a file of the system", linkTo("/etc/passwd"), /leads out of the show's folder/],
    ["a pipe", pipe, /not a file/],
    ["a folder", (file: string) => execFileSync("mkdir", [file]), /not a file|no file/],
  ])("%s is refused, whichever file it stands for, and nothing of it is told", (_, make, sentence) => {
    for (const name of ["show.json", "venue.json"]) {
      const before = readFileSync(inFolder(name));
      instead(name, make);
      expect(told(() => readShow(folder))).toMatch(sentence);
      expect(told(() => readShow(folder))).not.toContain("root");
      rmSync(inFolder(name), { recursive: true });
      writeFileSync(inFolder(name), before);
    }
    instead("subs-0.csv", make);
    expect(problems()).toMatch(sentence);
    expect(problems()).not.toContain("root");
  });

  it("a link within the folder is read", () => {
    execFileSync("mv", [inFolder("subs-0.csv"), inFolder("other.csv")]);
    instead("subs-0.csv", linkTo("other.csv"));
    expect(problems()).toBe("");
  });
});

it("a show in UTF-16, as some programs under Windows write, is read like any other", () => {
  for (const name of ["show.json", "venue.json", "subs-0.csv"]) {
    const text = readFileSync(inFolder(name), "utf8");
    writeFileSync(inFolder(name), Buffer.from(`\ufeff${text}`, "utf16le"));
  }
  expect(problems()).toBe("");
});

it("a position that is called __proto__ in a show file is told, not left out", () => {
  const file = JSON.parse(readFileSync(inFolder("show.json"), "utf8"));
  const text = JSON.stringify(file).replace(/"traces":\{/, '"traces":{"__proto__":"subs-0.csv",');
  expect(text).toContain("__proto__");
  writeFileSync(inFolder("show.json"), text);
  expect(told(() => readShow(folder))).toMatch(/\["__proto__"\] is a name that no position can have/);
});

it("of twenty thousand unknown keys the first ten are told, and how many more there are", () => {
  const venue = JSON.parse(readFileSync(inFolder("venue.json"), "utf8"));
  for (let i = 0; i < 20_000; i++) venue[`key${i}`] = i;
  const message = told(() => readVenue(JSON.stringify(venue), "venue.json"));
  expect(message).toContain("key9 is not a known key");
  expect(message).toContain("19990 more keys that are not known");
  expect(message).not.toContain("key10 ");
});

it.each([Number.NaN, 3e38, -3e38, Number.POSITIVE_INFINITY])(
  "a channel that holds nothing but %d is told to hold no numbers, not silence",
  (value) => {
    const recording = {
      name: "a.wav",
      sampleRate: 48_000,
      channels: [new Float64Array(48_000 * 3).fill(value)],
      warnings: [],
    };
    const kinds = recordingHealth(recording).faults.map(({ kind }) => kind);
    expect(kinds).toEqual(["not-a-number"]);
    const health = channelHealth({ sampleRate: 48_000, gap: 0.01, step: 2 ** -15 });
    health.feed(recording.channels[0]);
    expect(health.result().notNumbers.count).toBe(48_000 * 3);
  },
);

it("what commands print moves no cursor, changes no colour, turns no direction", () => {
  expect(plain("Hall\u001b[2J\u0007 \u202egnp.wav\r\u009b31m ü −3 dB\n\tnext")).toBe(
    "Hall\\u{1b}[2J\\u{7} \\u{202e}gnp.wav\\u{d}\\u{9b}31m ü −3 dB\n\tnext",
  );
});
