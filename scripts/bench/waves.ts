/**
 * The low band by waves: a box of plain air beside numpy, beside numba where the interpreter has it, and beside the memory's own
 * speed, one thread all; then a theatre of 5,400 m³ to 125 Hz, its mains and its subs, from the venue file on.
 */
import { readFileSync } from "node:fs";
import type { Point } from "../../lib/acoustics/point";
import { cellsOf, pieceAt } from "../../lib/field/waves/cells";
import { equationsOf } from "../../lib/field/waves/equations";
import { emitterOf, record } from "../../lib/field/waves/recording";
import { waveRoom } from "../../lib/field/waves/room";
import { runFields } from "../../lib/field/waves/run";
import { readVenue } from "../../lib/venue/file/read";
import { seats } from "../../lib/venue/seats";
import { inRoot } from "../setup/places.mjs";
import { withPeer } from "./peer-process";
import { alone, beside, medians, type Row, timed } from "./rows";

/** As many as the largest venues have: four fields don't fit a cache, a single one does. */
const CUBES = 96;
const STEPS = 40;
const FIELDS = 4;
/** Steps after which pressures are compared: before the box's ends answer, which differ. */
const LOOK = 16;
const COURANT = 0.74;

/**
 * Times ours and each peer in turn and takes medians.
 *
 * @param python  interpreter with numpy; numba's rows are left out where it has none
 * @throws Error when a peer's pressures differ from ours by more than 1e-5 of the largest
 */
export async function bench(python: string): Promise<Row[]> {
  const side = { x: CUBES, y: CUBES, z: CUBES };
  const cells = cellsOf([], { size: 1, from: { x: 0, y: 0, z: 0 }, to: side });
  const middle = pieceAt(cells, { x: CUBES / 2 + 0.5, y: CUBES / 2 + 0.5, z: CUBES / 2 + 0.5 }) ?? -1;
  const equations = equationsOf(cells, [middle]);
  // A source of 1 on a cube adds 4π (c T)² to its next pressure.
  const samples = Float32Array.of(1 / (4 * Math.PI * COURANT ** 2));
  const run = (steps: number) =>
    runFields(cells, equations, {
      speedOfSound: 1,
      step: COURANT,
      steps,
      every: 1,
      admittance: () => [0],
      fields: Array.from({ length: FIELDS }, () => [{ spot: { pieces: [middle], weights: [1] }, samples }]),
      receivers: [0, 1, 2, 3].map((d) => ({ pieces: [middle + d], weights: [1] })),
    });
  const expected = Array.from(run(LOOK + 2)[FIELDS - 1].subarray(4 * (LOOK + 1), 4 * (LOOK + 2)));
  // What comes before the first step is for a whole run, of which this is but the beginning.
  const stepping = () => timed(() => run(STEPS + 8)) - timed(() => run(8));
  const name = `waves, ${CUBES}³ cubes × ${STEPS} steps × ${FIELDS} fields`;
  const task = Float64Array.of(CUBES, STEPS, FIELDS, LOOK, COURANT ** 2);
  return withPeer(python, "waves_peer.py", [task], async (peer) => {
    let hasNumba = 0;
    await peer("has numba", ([has]) => {
      hasNumba = has;
    });
    const peers = [
      { task: "numpy", words: "numpy, sums used twice" },
      ...(hasNumba ? [{ task: "numba", words: "numba, one field at a time" }] : []),
    ];
    const ways = peers.map(
      ({ task: by }) =>
        () =>
          peer(by, (theirs) => requireSame(by, theirs, expected)),
    );
    const [ours, triad, ...theirs] = await medians([stepping, () => peer("triad", () => {}), ...ways], 5, 1);
    const [whole] = await medians([() => timed(theatre)], 5, 1);
    return [
      ...peers.map(({ words }, p) => beside(name, ours, words, theirs[p])),
      beside(
        `${name}: bytes that a step by itself moves, 12 a cube and field`,
        ours,
        "numpy, a triad of as many bytes",
        triad,
      ),
      alone("waves, theatre of 5,400 m³ at 0.4 m, mains and subs at its seats", whole),
    ];
  });
}

/** From the venue's file to what its seats hear of its mains and of its subs. */
function theatre(): void {
  const name = "harbour-theatre.json";
  const venue = readVenue(readFileSync(inRoot("data", "venues", name), "utf8"), name);
  const room = waveRoom(venue, 0.4);
  const isAir = (point: Point) => room.spot(point) !== undefined;
  const groups = (["mains", "subs"] as const).map((group) =>
    emitterOf(
      venue.sources.filter((s) => s.group === group),
      isAir,
      room.speedOfSound,
    ),
  );
  const pieces = room.around(seats(venue, { count: 400 }).map(({ point }) => point));
  record(
    room,
    groups.flatMap((group) => group ?? []),
    pieces,
  );
}

function requireSame(name: string, theirs: readonly number[], ours: readonly number[]): void {
  const largest = Math.max(...ours.map(Math.abs));
  const apart = Math.max(...ours.map((x, i) => Math.abs(x - theirs[i])));
  if (theirs.length !== ours.length || !(apart <= 1e-5 * largest)) {
    throw new Error(`waves by ${name}: pressures differ by ${apart} where the largest is ${largest}`);
  }
}
