/** What a show folder may have wrong with it: each gives one clear sentence, and nothing else that was found is lost. */
import {
  cpSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  readFileSync,
  rmSync,
  symlinkSync,
  writeFileSync,
} from "node:fs";
import { tmpdir } from "node:os";
import path from "node:path";
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import { readWav } from "../../lib/measurement/wav/read";
import { writeWav } from "../../lib/measurement/wav/write";
import { measureShow } from "../../lib/study/measure";
import { readShow } from "../../lib/study/read-show";

const original = path.resolve(__dirname, "../../data/shows/harbour-theatre");
/** As much of a show file as these tests change. */
interface ShowJson {
  venue: string;
  settings: Record<string, number>;
  takes: { microphones: Record<string, number>; reference: unknown; delays?: Record<string, number> }[];
}
let folder: string;
beforeEach(() => {
  folder = path.join(mkdtempSync(path.join(tmpdir(), "show ")), "a show");
  cpSync(original, folder, { recursive: true });
});
afterEach(() => rmSync(path.dirname(folder), { recursive: true, force: true }));

const show = (): ShowJson => JSON.parse(readFileSync(path.join(folder, "show.json"), "utf8"));
const write = (name: string, content: unknown) =>
  writeFileSync(path.join(folder, name), typeof content === "string" ? content : JSON.stringify(content));
const change = (edit: (show: ShowJson) => void) => {
  const file = show();
  edit(file);
  write("show.json", file);
};
const message = (work: () => unknown): string => {
  try {
    work();
  } catch (error) {
    expect((error as Error).stack).not.toMatch(/\n\s+at /);
    return (error as Error).message;
  }
  throw new Error("nothing was refused");
};
const reread = (
  name: string,
  edit: (channels: Float64Array[], sampleRate: number) => { channels: Float64Array[]; sampleRate: number },
) => {
  const { channels, sampleRate } = readWav(path.join(folder, name));
  writeWav(path.join(folder, name), { ...edit([...channels], sampleRate), encoding: "int16" });
};

describe("a show file with a mistake", () => {
  it("that isn't JSON is told line and column", () => {
    write("show.json", '{ "name": "x",\n  "venue" "v" }');
    expect(message(() => readShow(folder))).toMatch(/show "show.json": line 2, column \d+/);
  });

  it("in a key is told the likely key", () => {
    change((s) => {
      s.settings.targetTillt = 3;
    });
    expect(message(() => readShow(folder))).toMatch(/settings\.targetTillt .*did you mean "targetTilt"/);
  });

  it("that names a place the venue lacks is told which it has", () => {
    change((s) => {
      s.takes[0].microphones["row AA"] = 2;
    });
    expect(message(() => readShow(folder))).toMatch(
      /takes\[0\]\.microphones\["row AA"\] names a position that the venue ".*" lacks.*row A, row D/,
    );
  });

  it("whose venue file is broken is told where in the venue file", () => {
    const venue = JSON.parse(readFileSync(path.join(folder, "venue.json"), "utf8"));
    venue.air.temperature = "warm";
    write("venue.json", venue);
    expect(message(() => readShow(folder))).toMatch(
      /venue "venue.json": air\.temperature is "warm", expected a number/,
    );
  });

  it("that writes a name in other capitals than the disk is told how it is written there", () => {
    change((s) => {
      s.venue = "Hall.json";
    });
    writeFileSync(path.join(folder, "HALL.json"), "{}");
    // where capitals are one, the file is found
    if (existsSync(path.join(folder, "hall.json"))) return;
    expect(message(() => readShow(folder))).toMatch(/"Hall.json", which is not .*; there is "HALL.json"/);
  });

  it("that writes an umlaut in another form of Unicode is told so, in folders as well", () => {
    mkdirSync(path.join(folder, "Aufnahmen"));
    writeFileSync(path.join(folder, "Aufnahmen", "Bühne.json"), "{}"); // ü as one character
    change((s) => {
      s.venue = "aufnahmen/Bu\u0308hne.json"; // u and a combining diaeresis
    });
    expect(message(() => readShow(folder))).toMatch(
      /is not in the show's folder; there is "Aufnahmen\/Bühne.json"/,
    );
    change((s) => {
      s.venue = "Aufnahmen/Bu\u0308hne.json";
    });
    expect(message(() => readShow(folder))).toMatch(/accents are stored in another form of Unicode/);
  });

  it("that writes a position's umlaut in another form than the venue is understood", () => {
    const venue = JSON.parse(readFileSync(path.join(folder, "venue.json"), "utf8"));
    venue.positions[0].id = "Bühne";
    write("venue.json", venue);
    change((s) => {
      for (const take of s.takes) {
        const { "row A": channel, ...rest } = take.microphones;
        take.microphones = { ...rest, "Bu\u0308hne": channel };
      }
    });
    expect(readShow(folder).file.takes[0]).toMatchObject({ microphones: { Bühne: 2 } });
  });

  it("that ends a part before it begins is told so", () => {
    change((s) => {
      Object.assign(s.takes[1], { from: 5, to: 3 });
    });
    expect(message(() => readShow(folder))).toMatch(/takes\[1\]\.to is 3 s, expected more than "from", 5 s/);
  });

  it.each(["../outside.json", "/etc/hostname", "sub/../../outside.json"])(
    "that reaches out of its folder by %s is refused",
    (name) => {
      writeFileSync(path.join(folder, "..", "outside.json"), "{}");
      mkdirSync(path.join(folder, "sub"));
      change((s) => {
        s.venue = name;
      });
      expect(message(() => readShow(folder))).toMatch(
        /venue is ".*", expected a file inside the show's folder/,
      );
    },
  );

  it("that reaches out of its folder by a link is refused", () => {
    writeFileSync(path.join(folder, "..", "outside.json"), "{}");
    symlinkSync(path.join(folder, "..", "outside.json"), path.join(folder, "inside.json"));
    change((s) => {
      s.venue = "inside.json";
    });
    expect(message(() => readShow(folder))).toMatch(/venue is a link that leads out/);
  });
});

describe("a recording with a fault costs its own places and nothing else", () => {
  const others = ["row D", "row H", "row L", "row T", "mix position"];
  const positions = () => measureShow(readShow(folder)).survey?.positions.map((p) => p.id);
  const problems = () => measureShow(readShow(folder)).problems.join("\n");

  it("when one channel is silent", () => {
    reread("subs.wav", (channels, sampleRate) => {
      channels[1] = new Float64Array(channels[0].length);
      return { channels, sampleRate };
    });
    expect(problems()).toMatch(/recording "subs.wav": channel 2 .*silent/);
    expect(positions()).toEqual(others);
  });

  it("when the file has no such channel", () => {
    change((s) => {
      s.takes[2].microphones["row A"] = 9;
    });
    expect(problems()).toMatch(/recording "both.wav": channel 9 does not exist, the file has 7/);
    expect(positions()).toEqual(["row A", ...others]);
  });

  it("when the file is missing", () => {
    rmSync(path.join(folder, "both.wav"));
    expect(problems()).toMatch(/takes\[2\]\.recording names "both.wav", which is not in the show's folder/);
    expect(positions()).toEqual(["row A", ...others]);
  });

  it("when it was cut short, what is there is used and said", () => {
    const bytes = readFileSync(path.join(folder, "subs.wav"));
    writeFileSync(path.join(folder, "subs.wav"), bytes.subarray(0, bytes.length >> 1));
    const { survey, warnings } = measureShow(readShow(folder));
    expect(warnings.join("\n")).toMatch(/recording "subs.wav".*(cut|short|fewer|less)/);
    expect(survey?.positions).toHaveLength(6);
  });

  it("when it is shorter than one window", () => {
    reread("subs.wav", (channels, sampleRate) => ({
      channels: channels.map((c) => c.subarray(0, 400)),
      sampleRate,
    }));
    expect(problems()).toMatch(/recording "subs.wav": length is 0.0\d s, expected .* or more/);
    expect(positions()).toBeUndefined();
  });

  it("when it is clipped, it is used and named", () => {
    reread("both.wav", (channels, sampleRate) => ({
      channels: channels.map((c, i) => (i === 3 ? c.map((x) => Math.max(-0.05, Math.min(0.05, x))) : c)),
      sampleRate,
    }));
    expect(measureShow(readShow(folder)).warnings.join("\n")).toMatch(
      /recording "both.wav": channel 4.*clip/,
    );
  });

  it("when its reference is a file of another sample rate", () => {
    const { channels } = readWav(path.join(folder, "mains.wav"));
    writeWav(path.join(folder, "sent.wav"), {
      sampleRate: 8000,
      channels: [channels[0]],
      encoding: "float32",
    });
    change((s) => {
      s.takes[0].reference = { recording: "sent.wav" };
    });
    expect(problems()).toMatch(/recording "sent.wav": sample rate is 8000 Hz where "mains.wav" has 16000 Hz/);
  });

  it("when it is something else by the name of a WAV file, which is told", () => {
    const mp3 = Buffer.concat([Buffer.from("ID3\u0004\0\0\0\0\0\0", "latin1"), Buffer.alloc(4000)]);
    writeFileSync(path.join(folder, "both.wav"), mp3);
    expect(problems()).toMatch(
      /recording "both.wav": header is that of an MP3 file, whatever the file's name says, expected|header is that of an MP3 file, whatever the file's name says; export the recording as WAV/,
    );
    // A frame of MPEG-1 layer III: eleven bits set, version 3, layer 1 (ISO/IEC 11172-3).
    writeFileSync(
      path.join(folder, "both.wav"),
      Buffer.concat([Buffer.from([0xff, 0xfb, 0x90, 0x64]), Buffer.alloc(4000)]),
    );
    expect(problems()).toMatch(/an MP3 file/);
    writeFileSync(path.join(folder, "both.wav"), Buffer.concat([Buffer.from("fLaC"), Buffer.alloc(4000)]));
    expect(problems()).toMatch(/a FLAC file/);
  });

  it("when it holds no WAV at all", () => {
    write("mains.wav", "this is a letter");
    expect(problems()).toMatch(/recording "mains.wav": /);
    expect(positions()).toBeUndefined();
  });
});

describe("what may differ between folders", () => {
  it("a reference in a file of its own gives what the same reference on a channel gives", () => {
    const before = measureShow(readShow(folder)).survey!;
    const { channels, sampleRate } = readWav(path.join(folder, "mains.wav"));
    writeWav(path.join(folder, "sent.wav"), { sampleRate, channels: [channels[0]], encoding: "float32" });
    change((s) => {
      for (const take of s.takes) take.reference = { recording: "sent.wav", channel: 1 };
    });
    const after = measureShow(readShow(folder)).survey!;
    expect(after.mains[2].re).toEqual(before.mains[2].re);
  });

  it("a delay given by hand is taken whatever the search says", () => {
    change((s) => {
      s.takes[0].delays = { "row D": 31 };
    });
    const { delays } = measureShow(readShow(folder));
    const row = delays.find((d) => d.position === "row D" && d.playing === "mains")!;
    expect(row.result.manual).toBe(true);
    expect(row.result.chosen.time).toBe(0.031);
  });

  it("a delay given by hand for the subs leaves their time to the mains as it is", () => {
    const before = measureShow(readShow(folder)).survey!;
    change((s) => {
      s.takes[1].delays = { "row D": 31 };
    });
    const after = measureShow(readShow(folder)).survey!;
    expect(after.subs[1].re).toEqual(before.subs[1].re);
    expect(after.subs[1].im).toEqual(before.subs[1].im);
  });
});
