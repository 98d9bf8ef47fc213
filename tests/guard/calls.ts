/** A call in good order of each public function: where the wrong ones start from. */
import { mkdtempSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import path from "node:path";
import type * as Library from "../../lib";
import { smallShow, writeSmallShow } from "../security/small-show";

/**
 * @param face  the library as notebooks have it
 * @returns by the name of a function: what makes its arguments
 */
export function goodCalls(face: typeof Library): { readonly [name: string]: () => unknown[] } {
  const hall = face.read.venue("pennavoe-assembly-hall");
  const positions = face.venues.seats(hall, { count: 12 });
  const survey = face.predict.survey(hall, positions, { order: 0 });
  const standing = face.predict.survey(hall, face.venues.zone(hall, { spacing: 4 }).slice(0, 4), {
    order: 0,
  });
  const sub = hall.sources.find((source) => source.group === "subs") as (typeof hall.sources)[number];
  const at = (x: number, y: number, z = 0.3) => ({ x, y, z });
  const block = face.layouts.block({ cabinet: sub, position: at(0, 0), across: 2, high: 1 });
  const line = face.layouts.line({ cabinet: sub, position: at(0, 0), count: 4, spacing: 1.5 });

  const sampleRate = 48000;
  const invented = face.predict.recordings(hall, hall.positions.slice(0, 2), { seconds: 2, seed: 3 });
  const { reference } = invented;
  const [heard] = invented.mains;
  const transfer = face.measure.transferFunction(reference, heard, sampleRate, { windowLength: 4096 });
  const delay = face.measure.estimateDelay(reference, heard, sampleRate);
  const joined = face.measure.joinedTransferFunctions(reference, invented.mains, sampleRate);
  const microphones = face.measure.matchMicrophones(invented.match, sampleRate);
  const sweep = { from: 50, to: 6000, seconds: 0.5, sampleRate: 16000 };
  const swept = face.measure.sweep(face.predict.sweep(hall, hall.positions[0], sweep, { rest: 0.2 }), sweep);
  const measurements = positions
    .slice(0, 2)
    .map((position, i) => ({ position, mains: joined[i], subs: joined[i] }));
  const modes = face.acoustics.room.modes({ length: 8, width: 6, height: 3 }, 60);
  const offset = face.decide.offset(survey);
  const ranking = face.decide.rankPositions(survey, standing);
  const aisle = { name: "aisle", from: at(1, -3), to: at(1, 3), spacing: 2 };
  const trace = "frequency_hz,magnitude_db\n20,1\n40,2\n80,3\n";
  const scratch = mkdtempSync(path.join(tmpdir(), "calls "));
  const traceFile = path.join(scratch, "trace.csv");
  writeFileSync(traceFile, trace);
  const recording = path.join(__dirname, "..", "..", "data", "shows", "harbour-theatre", "match.wav");
  const level = { predicted_db: -3, recorded_db: -2, interval_db: 1.5, reached: true };
  const group = { level_db: 2, delay_ms: 3, polarity: -1 as const };
  const verification = {
    entered: { mains: group, subs: group },
    state: "reached" as const,
    louder_db: 0,
    positions: [
      {
        position: "row 1",
        state: "reached" as const,
        balance: level,
        thirds: [
          { frequency_hz: 63, ...level },
          { frequency_hz: 80, ...level, reached: false },
        ],
      },
    ],
    causes: [{ kind: "polarity" as const, message: "The polarity." }],
    reasons: ["All is well."],
    warnings: [],
  };
  const small = smallShow((n) => `words ${n}`);
  const show = writeSmallShow(small);

  return {
    "acoustics.air.speedOfSound": () => [20],
    "measure.sweepTransferFunction": () => [swept, Float64Array.from([100, 200, 400]), { order: 1 }],
    "acoustics.directivity.firstOrder": () => [0.5, -1],
    "acoustics.directivity.lineOfElements": () => [8, 0.3, 18, 0.2],
    "acoustics.directivity.piston": () => [0.5, 0.4, 18, 0.2, 0.1],
    "acoustics.dose.allowedTime": () => [94],
    "acoustics.dose.equivalentLevel": () => [
      [94, 100],
      [60, 20],
    ],
    "acoustics.level.weighting": () => [63, "A"],
    "acoustics.reflection.wallDistance": () => [52, 343, 1],
    "course.form": () => [
      "cellar-level",
      "measure at: row 1, row 6\nwho counts: everybody\ntarget: 6 dB\nset the subs by: what was found",
    ],
    "course.grade": () => ["cellar-level", [1], () => 3],
    "decide.calibrate": () => [hall, survey, { seatCount: 12, field: { order: 0 }, iterations: 1 }],
    "decide.causes": () => [face.decide.dips(survey), hall, survey],
    "decide.dips": () => [survey, { leastDepth: 4, smoothing: 12 }],
    "decide.jointOffset": () => [survey, {}],
    "layouts.arc": () => [{ cabinet: sub, position: at(0, 0), count: 4, spacing: 1.5, openingAngle: 1 }],
    "layouts.block": () => [{ cabinet: sub, position: at(0, 0), across: 2, high: 1 }],
    "layouts.endFire": () => [{ cabinet: sub, position: at(3, 0), count: 3, spacing: 1 }],
    "layouts.flown": () => [{ cabinet: sub, top: at(0, 0, 8), count: 4 }],
    "layouts.gradient": () => [{ cabinet: sub, position: at(0, 0), elements: 2, spacing: 1 }],
    "layouts.line": () => [{ cabinet: sub, position: at(0, 0), count: 4, spacing: 1.5 }],
    "layouts.mixed": () => [[block, line]],
    "layouts.pair": () => [{ cabinet: sub, position: at(0, 3), across: 1, high: 1 }],
    "read.trace": () => [traceFile],
    "studies.result": () => [
      face.studies.run(face.read.show(show), { seatCount: 20 }),
      { at: "2026-01-01T00:00:00Z", versions: {} },
    ],
    "write.trace": () => [path.join(scratch, "b.csv"), transfer, {}, ["a note"]],
    "acoustics.room.absorptionArea": () => [5000, 1.6, 343],
    "decide.alignment": () => [
      survey,
      { at: [positions[0].id], delays: [-0.005, 0.005], polarity: 1, band: [60, 120] },
    ],
    "acoustics.level.ofAmplitude": () => [2],
    "acoustics.air.absorption": () => [1000, { temperature: 20, relativeHumidity: 50, pressure: 101.325 }],
    "measure.average": () => [[transfer, transfer], "power", { weights: [1, 2], coherenceLimit: 0.5 }],
    "decide.balance": () => [survey, { offset: 3 }],
    "acoustics.bands.level": () => [transfer, 200, 800],
    "acoustics.room.directAndDiffuse": () => [12, 5000, 1.6, { directivityFactor: 2, speedOfSound: 343 }],
    "measure.calibrator": () => [invented.calibrator[0], 16000, { level: 94, frequency: 1000 }],
    "course.capstone": () => ["market-hall", 1],
    "course.capstones": () => [],
    "measure.noiseFloor": () => [invented.noise[0], heard, 16000, { from: 63, to: 4000, enough: 10 }],
    "measure.clockDrift": () => [reference, heard, 16000, { from: 0, to: 0.1, stretch: 0.15 }],
    "acoustics.distance.finiteLineLoss": () => [3, 1000, 5, 20, 343],
    "acoustics.reflection.combDepth": () => [6],
    "decide.compareCrossovers": () => [
      survey,
      [{ name: "one", mains: [], subs: [{ type: "lowpass", kind: "butterworth", order: 4, frequency: 90 }] }],
      { at: [positions[0].id] },
    ],
    "decide.compareLayouts": () => [
      hall,
      { block, line },
      { positions: positions.slice(0, 4), field: { order: 0 } },
    ],
    "draw.comparison": () => [
      { model: survey },
      positions[0].id,
      { group: "subs", from: 30, to: 200, smoothing: 6 },
    ],
    "draw.confidence": () => [
      { "row 1": joined[0] },
      { from: 60, to: 1000, probability: 0.9, span: 30, title: "Sure" },
    ],
    "measure.correctDrift": () => [heard, 60],
    "acoustics.room.criticalDistance": () => [500, 2],
    "decide.crossoverSum": () => [survey, positions[0].id, { delay: 0.002, polarity: -1 }],
    dataFrame: () => [[{ row: "A", level: 3 }]],
    "measure.sweep": () => [swept.impulse, sweep],
    "tables.rows": () => [[{ position: "row A", playing: "mains", result: delay }]],
    "draw.directions": () => [block.sources, { frequencies: [40, 63], distance: 50, title: "Two" }],
    "acoustics.distance.between": () => [at(0, 0), at(3, 4)],
    "acoustics.distance.drift": () => [at(0, 0, 8), at(0, 0), at(3, 0), at(20, 0)],
    "acoustics.distance.levelAt": () => [at(5, 0), [at(0, 0)]],
    "acoustics.distance.lossPerMetre": () => [5, "point"],
    "write.wavBytes": () => [{ sampleRate, channels: [reference, heard], encoding: "int16" }],
    "read.example": () => ["harbour-theatre"],
    "read.venue": () => ["harbour-theatre", { "mains[0].top.z": 6.4 }],
    "course.exercise": () => ["cellar-level", 1],
    "course.exercises": () => [],
    "course.guess": () => ["01 drift", -6],
    "course.guesses": () => [1],
    "acoustics.room.eyring": () => [5000, 2000, 0.2],
    "acoustics.filters.response": () => [
      { type: "lowpass", kind: "butterworth", order: 4, frequency: 90 },
      [40, 80, 160],
    ],
    "measure.estimateDelay": () => [reference, heard, sampleRate, { from: 0, to: 0.2 }],
    "venues.zone": () => [hall, { spacing: 3 }],
    "measure.harmonics": () => [swept, Float64Array.from([100, 200, 400]), 2],
    "draw.impulse": () => [
      transfer,
      [{ delay: 0.01, label: "one" }],
      { title: "Arrivals", from: 0, to: 0.05 },
    ],
    "predict.estimate": () => [survey, { isRoom: true }],
    "predict.recordings": () => [
      hall,
      hall.positions.slice(0, 1),
      { seconds: 0.5, seed: 1, noise: 40, microphones: [{ gain: 1, polarity: -1 }] },
    ],
    "predict.sweep": () => [
      hall,
      hall.positions[0],
      sweep,
      { group: "mains", harmonics: [-30, -40], rest: 0.2, noise: 40, latency: 0.005, seed: 2 },
    ],
    "measure.joinedTransferFunctions": () => [reference, [heard], sampleRate, { delays: [0.01] }],
    "draw.layout": () => [
      hall,
      [{ flown: false, point: at(1, 0), gain_db: 0, delay_ms: 0, polarity: 1 }],
      { title: "One", view: "plan" },
    ],
    "draw.layouts": () => [
      face.decide.compareLayouts(hall, { block }, { positions: positions.slice(0, 4), field: { order: 0 } })
        .layouts,
    ],
    "decide.offset": () => [survey, { mixPositions: [positions[0].id] }],
    "acoustics.level.ofPressure": () => [1],
    "draw.levelOverDistance": () => [
      survey,
      { venue: hall, lowBand: [31.5, 80], midBand: [500, 2000], across: 4 },
    ],
    "draw.lines": () => [
      { x: [1, 2, 3], xTitle: "Distance (m)", curves: { mains: [1, 2, 3] }, title: "Level" },
    ],
    "acoustics.distance.lineLoss": () => [2, 8],
    "acoustics.distance.lineTransition": () => [3, 4000, 343],
    listen: () => [
      survey,
      { front: positions[0].id, back: positions[5].id },
      { liftLow: true, offset: 3, sound: "noise" },
    ],
    "acoustics.bands.grid": () => [20, 200, 24],
    "measure.matchMicrophones": () => [invented.match, sampleRate],
    "measure.survey": () => [measurements],
    "measure.show": () => [face.read.show(show)],
    "draw.mirror": () => [{ wall: 1.65, ear: [6, 1], sub: [0, 0], across: [-4, 8], up: [-2, 2] }],
    "predict.survey": () => [hall, positions.slice(0, 2), { order: 0 }],
    "draw.modes": () => [modes, { schroeder: 40, title: "Modes" }],
    "draw.notches": () => [{ x: [1, 2, 3], causes: { wall: [50, 50, 50] }, upTo: 200 }],
    "acoustics.reflection.notches": () => [3.3, 343, 1000],
    "draw.offset": () => [[{ label: "model", result: offset }], { from: -12, to: 12 }],
    "draw.overFrequency": () => [
      { frequency: [20, 40, 80], curves: { subs: [1, 2, 3] }, marks: { notch: 50 }, top: 10, span: 40 },
    ],
    panel: () => ["sub level", { survey, venue: hall }],
    "acoustics.reflection.pathDifference": () => [
      at(0, 0),
      at(5, 0),
      { point: at(0, 0, 0), normal: at(0, 0, 1) },
    ],
    "venues.positions": () => [hall],
    "write.wav": () => [
      path.join(scratch, "a.wav"),
      { sampleRate, channels: [reference], encoding: "int16" },
    ],
    "acoustics.distance.pointLoss": () => [2, 8],
    "acoustics.reflection.quarterWaves": () => [2, 343, 500, { radius: 0.3, end: "flanged" }],
    "decide.rankPositions": () => [survey, standing, { offset: 2 }],
    "read.show": () => [show],
    "read.traceText": () => [trace, "trace.csv"],
    "read.venueText": () => [JSON.stringify(small.venue), "venue.json"],
    "read.wav": () => [recording],
    "measure.health": () => [
      { name: "x.wav", sampleRate, channels: [heard], warnings: [] },
      { minimumDuration: 1, noiseFloor_db: -60, gap: 0.05 },
    ],
    "draw.ranking": () => [hall, ranking, { title: "Where to mix" }],
    "measure.resample": () => [heard, 1.00006],
    "draw.responses": () => [survey, { group: "subs", from: 30, to: 160, smoothing: 6 }],
    "acoustics.room.modes": () => [{ length: 8, width: 6, height: 3 }, 60, 343],
    "draw.verification": () => [verification],
    "studies.verify": () => [face.studies.run(face.read.show(show), { seatCount: 20 }), verification.entered],
    "studies.run": () => [face.read.show(show), { seatCount: 20 }],
    "acoustics.room.sabine": () => [5000, 300],
    "acoustics.room.schroeder": () => [1.6, 5000],
    "decide.searchLayouts": () => [
      hall,
      { positions: [aisle], count: [2, 4], mirror: true },
      { candidates: 6, positions: positions.slice(0, 4) },
    ],
    "venues.seats": () => [hall, { count: 20 }],
    "draw.seats": () => [
      hall,
      positions,
      positions.map((_, i) => i - 5),
      { scale: "deviation", limit: 9, marked: hall.positions },
    ],
    show: () => [face.draw.lines({ x: [1, 2], xTitle: "x", curves: { mains: [1, 2] } })],
    "decide.spread": () => [survey, { origins: { mains: [at(0, 0, 8)], subs: [at(0, 0)] } }],
    "draw.spread": () => [face.decide.spread(survey), { subsTo: 80, mainsFrom: 500 }],
    "measure.spreadPerBand": () => [
      joined,
      face.acoustics.bands.thirdOctaves(63, 500),
      { coherenceLimit: 0.3 },
    ],
    "draw.steps": () => [{ near: 2, far: 18, step: 3, drop: face.acoustics.distance.pointLoss }],
    "acoustics.level.sum": () => [[100, 94]],
    "acoustics.level.coherentSum": () => [
      [100, 94],
      [0, 1],
    ],
    "draw.sweep": () => [swept, { orders: 3, delay: 0.03, after: 0.2, title: "A sweep" }],
    "tables.of": () => [microphones, { digits: 1, caption: "Levels" }],
    "acoustics.bands.thirdOctaves": () => [63, 500],
    "acoustics.level.ofPower": () => [2],
    "acoustics.loudness.contour": () => [40, 100],
    "acoustics.loudness.phon": () => [64.37, 100],
    "measure.transferFunction": () => [reference, heard, sampleRate, { windowLength: 4096 }],
    "acoustics.bands.valueAt": () => [{ frequency: [63, 1000], value: [1, 2] }, 125],
    "draw.venue": () => [hall, { marked: hall.positions, view: "section" }],
    "draw.paths": () => [
      { mains: at(0, 0, 8), subs: at(0, 0), ears: { first: at(3, 0) }, across: [0, 20], up: [0, 10] },
    ],
    "venues.without": () => [hall, "rear wall"],
    "write.reports": () => [
      face.studies.run(face.read.show(show), { seatCount: 20 }),
      mkdtempSync(path.join(tmpdir(), "reports ")),
    ],
    "write.traceText": () => [transfer, {}, ["a note"]],
  };
}
