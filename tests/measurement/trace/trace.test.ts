import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { Response } from "../../../lib/acoustics/response";
import { readTrace, readTraceFile } from "../../../lib/measurement/trace/read";
import { writeTrace, writeTraceFile } from "../../../lib/measurement/trace/write";
import { evenly } from "../../evenly";

const head = "frequency_hz,magnitude_db,phase_deg,coherence\n";

describe("readTrace", () => {
  it("takes level and phase as decibels and degrees of e^{+jωt}", () => {
    // 20 lg 2 = 6.0206 dB, 10^(-10/20) = 0.316228 (tables of common logarithms); cos 60° = 1/2.
    const trace = readTrace(`${head}100,6.0206,0,1\n200,-10,90,0.5\n400,0,-60,0.25\n800,20,180,0\n`, "a.csv");
    expect(Array.from(trace.frequency)).toEqual([100, 200, 400, 800]);
    const re = [2, 0, 0.5, -10];
    const im = [0, 0.316228, -0.866025, 0];
    for (const i of re.keys()) {
      expect(trace.re[i]).toBeCloseTo(re[i], 5);
      expect(trace.im[i]).toBeCloseTo(im[i], 5);
    }
    expect(Array.from(trace.coherence!)).toEqual([1, 0.5, 0.25, 0]);
    expect(trace.magnitudeOnly).toBeUndefined();
    expect(trace.warnings).toEqual([]);
  });

  it("reads the same numbers whatever separates them and however lines end", () => {
    const plain = readTrace("frequency_hz,magnitude_db,phase_deg\n31.5,-3.5,10\n40,-4,20.25\n", "a.csv");
    const paths = [
      "frequency_hz;magnitude_db;phase_deg\n31,5;-3,5;10\n40;-4;20,25\n",
      "frequency_hz\tmagnitude_db\tphase_deg\r\n31,5\t-3,5\t10\r\n40\t-4\t20,25\r\n",
      "\ufefffrequency_hz ; magnitude_db ; phase_deg\r31.5 ; -3.5 ; 10\r40 ; -4 ; 20.25",
      '"Frequency (Hz)","Magnitude [dB]","Phase (deg)"\n"31,5","-3,5","10"\n"40","-4","20,25"\n',
      "phase,level,frequency\n10,-3.5,31.5\n20.25,-4,40\n",
      "\n\n  frequency_hz,magnitude_db,phase_deg  \n\n+31.5,-.35e1,1E1\n\n40.,-4,20.25\n\n",
    ];
    for (const text of paths) {
      const { frequency, re, im } = readTrace(text, "b.csv");
      expect({ frequency, re, im }).toEqual({ frequency: plain.frequency, re: plain.re, im: plain.im });
    }
  });

  it("keeps comments by their key, and those without one in order", () => {
    const text = `# Who: house crew\n# where: row F, seat 12: aisle\n#when:2031-05-04\n# hand-held\n${head}100,0,0,1\n# who: someone else\n`;
    const { comments, notes } = readTrace(text, "a.csv");
    expect(comments).toEqual({ who: "house crew", where: "row F, seat 12: aisle", when: "2031-05-04" });
    expect(notes).toEqual(["hand-held", "who: someone else"]);
  });

  it("without phase gives a response that knows only its magnitude, and warns", () => {
    const trace = readTrace("frequency_hz;magnitude_db\n50;-20\n63;-40\n", "levels.csv");
    expect(trace.magnitudeOnly).toBe(true);
    expect(trace.re[0]).toBeCloseTo(0.1, 12);
    expect(trace.re[1]).toBeCloseTo(0.01, 12);
    expect(Array.from(trace.im)).toEqual([0, 0]);
    expect(trace.coherence).toBeUndefined();
    expect(trace.warnings).toEqual([
      'trace "levels.csv": phase_deg is missing, so only its levels can be used',
    ]);
  });

  it("sorts rows, drops repetitions, 0 Hz and columns it doesn't know, each with a warning", () => {
    const text = "frequency_hz,magnitude_db,phase_deg,mood\n0,0,0,x\n200,-2,0,x\n100,-1,0,x\n200,-2,0,y\n";
    const trace = readTrace(text, "a.csv");
    expect(Array.from(trace.frequency)).toEqual([100, 200]);
    expect(trace.re[0]).toBeGreaterThan(trace.re[1]);
    expect(trace.warnings).toEqual([
      'trace "a.csv": column "mood" is not one of a trace\'s and was left out',
      'trace "a.csv": line 2 is at 0 Hz and was left out',
      'trace "a.csv": line 4 steps back in frequency, so the rows were sorted',
      'trace "a.csv": rows that repeat another were dropped, 1 of them',
    ]);
  });

  it("takes a level of -Infinity for silence", () => {
    expect(readTrace("frequency,level,phase\n50,-Infinity,0\n", "a.csv").re[0]).toBe(0);
  });

  const broken: [string, string, string][] = [
    ["nothing", "", "rows are missing, the file is empty; export"],
    ["a header alone", head, "rows are missing, only the header is there; export"],
    [
      "no header",
      "100,0,0\n200,0,0\n",
      'line 1 has no column frequency_hz, it reads "100, 0, 0"; begin the file with',
    ],
    ["a missing column", "# x\nfrequency_hz,phase_deg\n1,2\n", "line 2 has no column magnitude_db"],
    [
      "text in numbers",
      `${head}100,loud,0,1\n`,
      'line 2, magnitude_db is "loud", expected a number; correct it',
    ],
    ["an empty cell", `${head}100,0,,1\n`, "line 2, phase_deg is empty, expected a number; fill it in"],
    ["NaN", `${head}100,NaN,0,1\n`, 'line 2, magnitude_db is "NaN"'],
    [
      "a duplicate that differs",
      `${head}100,0,0,1\n100,0,5,1\n`,
      "line 3, phase_deg differs from line 2 though both stand at 100 Hz; delete",
    ],
    [
      "decimal commas between commas",
      "frequency_hz,magnitude_db\n31,5,-3,5\n",
      "line 2 has 4 values, expected 2 as in the header; where commas are decimals",
    ],
    [
      "decimal commas and points",
      "frequency_hz;magnitude_db\n31,5;-3\n40;-3.5\n",
      'line 3, magnitude_db is "-3.5", but the file began with decimal commas; use',
    ],
    [
      "too few values",
      `${head}100,0,0\n`,
      "line 2 has 3 values, expected 4 as in the header; give every column",
    ],
    [
      "a percentage",
      `${head}100,0,0,95\n`,
      "line 2, coherence is 95, expected 0 to 1, so a percentage divided by 100",
    ],
    ["a negative frequency", `${head}-100,0,0,1\n`, "line 2, frequency_hz is -100, expected hertz"],
    [
      "an impossible level",
      `${head}100,1e9,0,1\n`,
      "line 2, magnitude_db is 1000000000, expected decibels within",
    ],
    [
      "one column named twice",
      "frequency_hz,level,magnitude\n1,2,3\n",
      "line 1 names magnitude_db twice; keep one",
    ],
    [
      "half of the exact columns",
      "frequency_hz,magnitude_db,phase_deg,real\n1,0,0,1\n",
      "line 1 has real, imaginary and phase_deg only in part",
    ],
    [
      "exact columns that disagree",
      "frequency_hz,magnitude_db,phase_deg,real,imaginary\n1,6,0,1,0\n",
      "line 2, real does not belong to magnitude_db",
    ],
    ["bytes that are no text", "RIFF\0\0\0\0WAVE", "line 1 holds bytes that are no text; save"],
    ["a recording's length in columns", `${"a,".repeat(500)}\n`, "line 1 has more than 64 columns"],
  ];
  for (const [what, text, message] of broken) {
    it(`refuses ${what} in one sentence with file, line and remedy`, () => {
      expect(() => readTrace(text, "hall.csv")).toThrow(`trace "hall.csv": ${message}`);
      expect(() => readTrace(text, "hall.csv")).toThrow(/^[^\n]+; [^\n]+$/);
    });
  }
});

describe("writeTrace", () => {
  const number = fc
    .oneof(evenly(-1e3, 1e3), fc.double({ min: -1e3, max: 1e3, noNaN: true }))
    .map((x) => (Math.abs(x) < 1e-9 ? 0 : x));
  const fraction = fc.oneof(evenly(0, 1), fc.double({ min: 0, max: 1, noNaN: true })).map((x) => x + 0);
  const response = fc
    .uniqueArray(fc.double({ min: 0.01, max: 1e5, noNaN: true }), { minLength: 1, maxLength: 20 })
    .chain((frequencies) => {
      const n = { minLength: frequencies.length, maxLength: frequencies.length };
      return fc.record({
        frequency: fc.constant(Float64Array.from(frequencies).sort()),
        re: fc.array(number, n).map((x) => Float64Array.from(x)),
        im: fc.array(number, n).map((x) => Float64Array.from(x)),
        coherence: fc.option(
          fc.array(fraction, n).map((x) => Float64Array.from(x)),
          { nil: undefined },
        ),
        averages: fc.option(
          fc.array(fraction, n).map((x) => Float64Array.from(x)),
          { nil: undefined },
        ),
        diffuse: fc.option(
          fc.array(fraction, n).map((x) => Float64Array.from(x)),
          { nil: undefined },
        ),
      });
    });
  const numbersOf = ({ frequency, re, im, coherence, averages, diffuse, magnitudeOnly }: Response) => ({
    frequency,
    re,
    im,
    coherence,
    averages,
    diffuse,
    magnitudeOnly,
  });

  it("returns every response bit for bit when it is read again", () => {
    fc.assert(
      fc.property(response, (r) => {
        expect(numbersOf(readTrace(writeTrace(r), "a.csv"))).toEqual(numbersOf(r));
      }),
      { seed: 4, numRuns: 300 },
    );
  });

  it("returns responses without phase bit for bit, too", () => {
    fc.assert(
      fc.property(response, (r) => {
        const levels = { ...r, re: r.re.map(Math.abs), im: r.im.map(() => 0), magnitudeOnly: true };
        expect(numbersOf(readTrace(writeTrace(levels), "a.csv"))).toEqual(numbersOf(levels));
      }),
      { seed: 5, numRuns: 100 },
    );
  });

  it("writes a file that it has read with the very same numbers, comments and columns", () => {
    const text = `# who: house crew\n# where: row F\n# second take\n${head}20,-12.3,45,0.9\n31.5,-8,-170.123,1\n63,0.05,180,0.875\n`;
    const trace = readTrace(text, "a.csv");
    expect(writeTrace(trace, trace.comments, trace.notes)).toBe(text);
  });

  it("writes level and phase that agree with tables, whether or not exact columns are needed", () => {
    // |1 + j| = √2: 3.0103 dB at 45°; |3 + 4j| = 5: 13.9794 dB at 53.1301°.
    const lines = writeTrace({
      frequency: Float64Array.of(100, 200),
      re: Float64Array.of(1, 3),
      im: Float64Array.of(1, 4),
    }).split("\n");
    const [, level, phase] = lines[1].split(",").map(Number);
    const [, level2, phase2] = lines[2].split(",").map(Number);
    expect(level).toBeCloseTo(3.0103, 4);
    expect(phase).toBeCloseTo(45, 9);
    expect(level2).toBeCloseTo(13.9794, 4);
    expect(phase2).toBeCloseTo(53.1301, 4);
  });

  it("refuses what could not be read again, and names the field", () => {
    const good = { frequency: Float64Array.of(100), re: Float64Array.of(1), im: Float64Array.of(0) };
    expect(() => writeTrace({ ...good, re: Float64Array.of(NaN) })).toThrow("response.re[0] is NaN");
    expect(() => writeTrace({ ...good, coherence: Float64Array.of(1.2) })).toThrow(
      "response.coherence[0] is 1.2",
    );
    expect(() => writeTrace({ ...good, im: Float64Array.of(1, 2) })).toThrow(
      "response.im has 2 values, expected 1",
    );
    expect(() => writeTrace({ ...good, frequency: Float64Array.of(0) })).toThrow(/ascending/);
    expect(() => writeTrace(good, { who: "two\nlines" })).toThrow("comments.who has more than one line");
    expect(() => writeTrace(good, {}, ["where: row F"])).toThrow('notes[0] begins with "where:"');
    expect(() => writeTrace(good, { "a:b": "x" })).toThrow('comments has the key "a:b"');
  });
});

describe("trace files on disk", () => {
  it("are read in UTF-8 and UTF-16, and named when missing", () => {
    const folder = mkdtempSync(join(tmpdir(), "evenground-"));
    const text = "# where: Große Halle\nfrequency_hz;magnitude_db\n31,5;-3\n";
    writeFileSync(join(folder, "a.csv"), text);
    writeFileSync(join(folder, "b.csv"), Buffer.from(`\ufeff${text}`, "utf16le"));
    const a = readTraceFile(join(folder, "a.csv"));
    const b = readTraceFile(join(folder, "b.csv"));
    expect(a.comments).toEqual({ where: "Große Halle" });
    expect(b.comments).toEqual(a.comments);
    expect(b.re).toEqual(a.re);
    writeTraceFile(join(folder, "c.csv"), a, a.comments);
    expect(readTraceFile(join(folder, "c.csv")).re).toEqual(a.re);
    expect(() => readTraceFile(join(folder, "d.csv"))).toThrow('trace "d.csv": path does not exist; check');
    rmSync(folder, { recursive: true });
  });
});
