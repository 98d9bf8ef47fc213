/** A call in good order of each function that the lessons' cells call: where the wrong ones start from. */
import { mkdtempSync } from "node:fs";
import { tmpdir } from "node:os";
import path from "node:path";
import type * as Library from "../../lib";
import { smallShow, writeSmallShow } from "../security/small-show";

/**
 * @param face  the library as notebooks have it
 * @returns by the name of a function: what makes its arguments
 */
export function goodCalls(face: typeof Library): { readonly [name: string]: () => unknown[] } {
  const hall = face.exampleVenue("pennavoe-assembly-hall");
  const positions = face.seats(hall, { count: 12 });
  const survey = face.modelSurvey(hall, positions, { order: 0 });
  const standing = face.modelSurvey(hall, face.frontOfHousePositions(hall, { spacing: 4 }).slice(0, 4), {
    order: 0,
  });
  const sub = hall.sources.find((source) => source.group === "subs") as (typeof hall.sources)[number];
  const at = (x: number, y: number, z = 0.3) => ({ x, y, z });
  const block = face.layouts.block({ cabinet: sub, position: at(0, 0), across: 2, high: 1 });
  const line = face.layouts.line({ cabinet: sub, position: at(0, 0), count: 4, spacing: 1.5 });

  const sampleRate = 48000;
  const invented = face.simulateRecordings(hall, hall.positions.slice(0, 2), { seconds: 1, seed: 3 });
  const { reference } = invented;
  const [heard] = invented.mains;
  const transfer = face.transferFunction(reference, heard, sampleRate, { windowLength: 4096 });
  const delay = face.estimateDelay(reference, heard, sampleRate);
  const joined = face.joinedTransferFunctions(reference, invented.mains, sampleRate);
  const microphones = face.matchMicrophones(invented.match, sampleRate);
  const sweep = { from: 50, to: 6000, seconds: 0.5, sampleRate: 16000 };
  const swept = face.deconvolveSweep(
    face.simulateSweep(hall, hall.positions[0], sweep, { rest: 0.2 }),
    sweep,
  );
  const measurements = positions
    .slice(0, 2)
    .map((position, i) => ({ position, mains: joined[i], subs: joined[i] }));
  const modes = face.roomModes({ length: 8, width: 6, height: 3 }, 60);
  const offset = face.levelOffset(survey);
  const ranking = face.rankReferences(survey, standing);
  const aisle = { name: "aisle", from: at(1, -3), to: at(1, 3), spacing: 2 };
  const trace = "frequency_hz,magnitude_db\n20,1\n40,2\n80,3\n";
  const recording = path.join(__dirname, "..", "..", "data", "shows", "harbour-theatre", "match.wav");
  const small = smallShow((n) => `words ${n}`);
  const show = writeSmallShow(small);

  return {
    absorptionAreaOfReverberation: () => [5000, 1.6, 343],
    alignment: () => [
      survey,
      { at: [positions[0].id], delays: [-0.005, 0.005], polarity: 1, band: [60, 120] },
    ],
    amplitudeToDecibel: () => [2],
    atmosphericAbsorption: () => [1000, { temperature: 20, relativeHumidity: 50, pressure: 101.325 }],
    averageResponses: () => [[transfer, transfer], "power", { weights: [1, 2], coherenceLimit: 0.5 }],
    balance: () => [survey, { offset: 3 }],
    bandLevel: () => [[20, 40, 80, 160], [1, 2, 1, 1], 30, 100, 1],
    barronRevised: () => [12, 5000, 1.6, { directivityFactor: 2, speedOfSound: 343 }],
    calibrationFrom: () => [invented.calibrator[0], 16000, { level: 94, frequency: 1000 }],
    capstone: () => ["market-hall", 1],
    capstoneRows: () => [],
    checkNoiseFloor: () => [invented.noise[0], heard, 16000, { from: 63, to: 4000, enough: 10 }],
    clockDrift: () => [reference, heard, 16000, { from: 0, to: 0.1, stretch: 0.15 }],
    coherentLineDrop: () => [3, 1000, 5, 20, 343],
    combDepth: () => [6],
    compareCrossovers: () => [
      survey,
      [{ name: "one", mains: [], subs: [{ type: "lowpass", kind: "butterworth", order: 4, frequency: 90 }] }],
      { at: [positions[0].id] },
    ],
    compareLayouts: () => [hall, { block, line }, { positions: positions.slice(0, 4), field: { order: 0 } }],
    comparisonFigure: () => [
      { model: survey },
      positions[0].id,
      { group: "subs", from: 30, to: 200, smoothing: 6 },
    ],
    confidenceFigure: () => [
      { "row 1": joined[0] },
      { from: 60, to: 1000, probability: 0.9, span: 30, title: "Sure" },
    ],
    correctDrift: () => [heard, 60],
    criticalDistance: () => [500, 2],
    crossoverSum: () => [survey, positions[0].id, { delay: 0.002, polarity: -1 }],
    dataFrame: () => [[{ row: "A", level: 3 }]],
    deconvolveSweep: () => [swept.impulse, sweep],
    delayRows: () => [[{ position: "row A", sounding: "mains", result: delay }], "mains"],
    directionsFigure: () => [block.sources, { frequencies: [40, 63], distance: 50, title: "Two" }],
    distance: () => [at(0, 0), at(3, 4)],
    distanceDrift: () => [at(0, 0, 8), at(0, 0), at(3, 0), at(20, 0)],
    distanceLevel: () => [at(5, 0), [at(0, 0)]],
    dropPerMetre: () => [5, "point"],
    encodeWav: () => [{ sampleRate, channels: [reference, heard], encoding: "int16" }],
    example: () => ["harbour-theatre"],
    exampleVenue: () => ["harbour-theatre", { "mains[0].top.z": 6.4 }],
    exercise: () => ["cellar-level", 1],
    exerciseRows: () => [],
    eyring: () => [5000, 2000, 0.2],
    filterResponse: () => [{ type: "lowpass", kind: "butterworth", order: 4, frequency: 90 }, [40, 80, 160]],
    estimateDelay: () => [reference, heard, sampleRate, { from: 0, to: 0.2 }],
    frontOfHousePositions: () => [hall, { spacing: 3 }],
    harmonicLevel: () => [swept, Float64Array.from([100, 200, 400]), 2],
    impulseFigure: () => [
      transfer,
      [{ delay: 0.01, label: "one" }],
      { title: "Arrivals", from: 0, to: 0.05 },
    ],
    simulateRecordings: () => [
      hall,
      hall.positions.slice(0, 1),
      { seconds: 0.5, seed: 1, noise: 40, microphones: [{ gain: 1, polarity: -1 }] },
    ],
    simulateSweep: () => [
      hall,
      hall.positions[0],
      sweep,
      { group: "mains", harmonics: [-30, -40], rest: 0.2, noise: 40, latency: 0.005, seed: 2 },
    ],
    joinedTransferFunctions: () => [reference, [heard], sampleRate, { delays: [0.01] }],
    layoutFigure: () => [
      hall,
      [{ flown: false, point: at(1, 0), gain_db: 0, delay_ms: 0, polarity: 1 }],
      { title: "One", view: "plan" },
    ],
    layoutsFigure: () => [
      face.compareLayouts(hall, { block }, { positions: positions.slice(0, 4), field: { order: 0 } }).layouts,
    ],
    levelOffset: () => [survey, { mixPositions: [positions[0].id] }],
    levelOfPressure: () => [1],
    levelOverDistanceFigure: () => [
      survey,
      { venue: hall, lowBand: [31.5, 80], midBand: [500, 2000], across: 4 },
    ],
    linesFigure: () => [
      { x: [1, 2, 3], xTitle: "Distance (m)", curves: { mains: [1, 2, 3] }, title: "Level" },
    ],
    lineSourceDrop: () => [2, 8],
    lineTransitionDistance: () => [3, 4000, 343],
    listen: () => [
      survey,
      { front: positions[0].id, back: positions[5].id },
      { liftLow: true, offset: 3, sound: "noise" },
    ],
    logGrid: () => [20, 200, 24],
    matchMicrophones: () => [invented.match, sampleRate],
    measuredSurvey: () => [measurements],
    measureShow: () => [face.readShow(show)],
    microphoneRows: () => [microphones],
    mirrorFigure: () => [{ wall: 1.65, ear: [6, 1], sub: [0, 0], across: [-4, 8], up: [-2, 2] }],
    modelSurvey: () => [hall, positions.slice(0, 2), { order: 0 }],
    modesFigure: () => [modes, { schroeder: 40, title: "Modes" }],
    notchesFigure: () => [{ x: [1, 2, 3], causes: { wall: [50, 50, 50] }, upTo: 200 }],
    notchFrequencies: () => [3.3, 343, 1000],
    offsetFigure: () => [[{ label: "model", result: offset }], { from: -12, to: 12 }],
    offsetRows: () => [offset],
    overFrequencyFigure: () => [
      { frequency: [20, 40, 80], curves: { subs: [1, 2, 3] }, marks: { notch: 50 }, top: 10, span: 40 },
    ],
    panel: () => ["sub level", { survey, venue: hall }],
    pathDifference: () => [at(0, 0), at(5, 0), { point: at(0, 0, 0), normal: at(0, 0, 1) }],
    namedPositions: () => [hall],
    rankingRows: () => [ranking],
    pointSourceDrop: () => [2, 8],
    power: () => [transfer],
    quarterWaveFrequencies: () => [2, 343, 500, { radius: 0.3, end: "flanged" }],
    rankReferences: () => [survey, standing, { offset: 2 }],
    readShow: () => [show],
    readTrace: () => [trace, "trace.csv"],
    readVenue: () => [JSON.stringify(small.venue), "venue.json"],
    readWav: () => [recording],
    recordingHealth: () => [
      { name: "x.wav", sampleRate, channels: [heard], warnings: [] },
      { minimumDuration: 1, noiseFloor_db: -60, gap: 0.05 },
    ],
    referenceFigure: () => [hall, ranking, { title: "Where to mix" }],
    resample: () => [heard, 1.00006],
    responsesFigure: () => [survey, { group: "subs", from: 30, to: 160, smoothing: 6 }],
    roomModes: () => [{ length: 8, width: 6, height: 3 }, 60, 343],
    runStudy: () => [face.readShow(show), { seatCount: 20 }],
    sabine: () => [5000, 300],
    schroederFrequency: () => [1.6, 5000],
    searchLayouts: () => [
      hall,
      { positions: [aisle], count: [2, 4], mirror: true },
      { candidates: 6, positions: positions.slice(0, 4) },
    ],
    seats: () => [hall, { count: 20 }],
    seatsFigure: () => [
      hall,
      positions,
      positions.map((_, i) => i - 5),
      { scale: "deviation", limit: 9, marked: hall.positions },
    ],
    show: () => [face.linesFigure({ x: [1, 2], xTitle: "x", curves: { mains: [1, 2] } })],
    spread: () => [survey, { origins: { mains: [at(0, 0, 8)], subs: [at(0, 0)] } }],
    spreadFigure: () => [face.spread(survey), { subsTo: 80, mainsFrom: 500 }],
    spreadPerBand: () => [joined, face.thirdOctaves(63, 500), { coherenceLimit: 0.3 }],
    stepsFigure: () => [{ near: 2, far: 18, step: 3, drop: face.pointSourceDrop }],
    sumLevels: () => [[100, 94]],
    sumLevelsCoherent: () => [
      [100, 94],
      [0, 1],
    ],
    sweepFigure: () => [swept, { orders: 3, delay: 0.03, after: 0.2, title: "A sweep" }],
    table: () => [[{ row: "A", level: 3.14 }], { digits: 1, caption: "Levels" }],
    thirdOctaves: () => [63, 500],
    toDecibel: () => [2],
    transferFunction: () => [reference, heard, sampleRate, { windowLength: 4096 }],
    valueAt: () => [{ frequency: [63, 1000], value: [1, 2] }, 125],
    venueFigure: () => [hall, { marked: hall.positions, view: "section" }],
    pathsFigure: () => [
      { mains: at(0, 0, 8), subs: at(0, 0), ears: { first: at(3, 0) }, across: [0, 20], up: [0, 10] },
    ],
    without: () => [hall, "rear wall"],
    writeReports: () => [
      face.runStudy(face.readShow(show), { seatCount: 20 }),
      mkdtempSync(path.join(tmpdir(), "reports ")),
    ],
    writeTrace: () => [transfer, {}, ["a note"]],
  };
}
