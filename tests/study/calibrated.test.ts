/** Recordings on two devices, and with a calibrator: what was put into them comes out in pascals, on one clock. */
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import path from "node:path";
import { afterAll, describe, expect, it } from "vitest";
import venueFile from "../../data/venues/ulverow-meadow.json";
import { bandLevel } from "../../lib/acoustics/bands/bands";
import { power } from "../../lib/acoustics/response";
import { levelOffset } from "../../lib/decision/offset/offset";
import { modelSurvey } from "../../lib/field/model-survey";
import { venueOfFile } from "../../lib/lesson/examples/venue-of-file";
import { resample } from "../../lib/measurement/signals/resample";
import { writeWav } from "../../lib/measurement/wav/write";
import { measureShow } from "../../lib/study/measure";
import { inPascals } from "../../lib/study/pascals";
import { readShow } from "../../lib/study/read-show";
import { simulateRecordings } from "../../lib/study/simulate-recordings";
import { runStudy } from "../../lib/study/study";

const folder = mkdtempSync(path.join(tmpdir(), "calibrated-"));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const venue = venueOfFile("ulverow-meadow");
const positions = venue.positions.filter((p) => ["meadow 1", "meadow 2", "mix position"].includes(p.id));
const gains = [-2, 1.5, 0];
const made = simulateRecordings(venue, positions, {
  seed: 4,
  seconds: 16,
  noise: 60,
  microphones: gains.map((gain) => ({ gain })),
});
const { sampleRate, reference } = made;
const wav = (name: string, channels: readonly Float64Array[]) =>
  writeWav(path.join(folder, name), { sampleRate, channels, encoding: "float32" });
writeFileSync(path.join(folder, "venue.json"), JSON.stringify({ ...venueFile, $schema: undefined }));
wav("match.wav", made.match);
wav("tone.wav", [made.calibrator[1]]);
wav("reference.wav", [reference]);
const microphones = Object.fromEntries(positions.map((p, i) => [p.id, i + 1]));

/** A show on disk: its recorder's clock runs so many parts per million fast. */
function show(ppm: number, more: object = {}) {
  for (const playing of ["mains", "subs"] as const) {
    wav(
      `${playing}.wav`,
      made[playing].map((x) => resample(x, 1 / (1 + ppm * 1e-6))),
    );
  }
  const file = {
    name: "Two devices",
    venue: "venue.json",
    microphoneMatch: {
      recording: "match.wav",
      channels: [1, 2, 3],
      calibrator: { recording: "tone.wav", channel: 1, microphone: 2 },
    },
    takes: ["mains", "subs"].map((playing) => ({
      playing,
      recording: `${playing}.wav`,
      reference: { recording: "reference.wav" },
      microphones,
    })),
    ...more,
  };
  writeFileSync(path.join(folder, "show.json"), JSON.stringify(file));
  return readShow(folder);
}

describe("a calibrator on one of the matched microphones", () => {
  it("gives every place the level in pascals that the recordings were made with", () => {
    const { survey, pascalsPerRatio } = measureShow(show(0));
    const pascals = inPascals(survey!, pascalsPerRatio!);
    const model = modelSurvey(venue, pascals.positions);
    for (const [group, from, to] of [
      ["mains", 250, 4000],
      ["subs", 40, 80],
    ] as const) {
      pascals[group].forEach((response, i) => {
        const level = (r: typeof response) => bandLevel(r.frequency, power(r), from, to);
        expect(Math.abs(level(response) - level(model[group][i]))).toBeLessThan(0.6);
      });
    }
  });

  it("lets a level at the front row limit the subs, as much as that level asks", () => {
    const bassy = { targetTilt: 18, louder: 3 };
    const free = runStudy(show(0, { settings: bassy }), { seatCount: 60 }).measured!;
    const front = free.offset.frontRow!.levelC_db;
    const limited = runStudy(
      show(0, { settings: { ...bassy, frontRowLevel: { level: front - 2, weighting: "C" } } }),
      { seatCount: 60 },
    ).measured!;
    expect(limited.offset.offset_db).toBeLessThan(free.offset.offset_db);
    expect(Math.abs(limited.offset.frontRow!.levelC_db - (front - 2))).toBeLessThan(0.01);
  });

  it("is missed, in one sentence, where a level is to be limited without it", () => {
    const { measurement } = runStudy(
      show(0, {
        microphoneMatch: undefined,
        settings: { frontRowDose: { percent: 100, hours: 2 } },
      }),
      { seatCount: 60 },
    );
    expect(measurement.problems.join()).toMatch(/levels are known only with a calibrator's recording/);
  });
});

describe("a reference on a device of its own", () => {
  const drift = 60;

  it("is told apart by its clock, in parts per million", () => {
    const { warnings } = measureShow(show(drift));
    const said = warnings.flatMap((w) => /its clock ran ([\d.]+) ppm .* faster/.exec(w)?.[1] ?? []);
    // Said once for the two devices, and found of the mains.
    expect(said).toHaveLength(1);
    expect(Math.abs(Number(said[0]) - drift)).toBeLessThan(1);
    expect(measureShow(show(0)).warnings.filter((w) => w.includes("clock"))).toEqual([]);
  });

  it("leads to the same answer as one clock for all", () => {
    const offset = (ppm: number) => levelOffset(measureShow(show(ppm)).survey!).offset_db;
    expect(Math.abs(offset(drift) - offset(0))).toBeLessThan(0.1);
  });
});
