/** Layouts chosen by a drawing, and what they are worth in the hall itself. */
import { compareLayouts, type NamedLayouts } from "../../lib/decision/layouts/compare";
import { uniform } from "../../lib/numeric/random";
import { line } from "../../lib/venue/layouts/line";
import { seats } from "../../lib/venue/seats";
import type { Venue } from "../../lib/venue/venue";
import { drawnVenue } from "./venues";

export interface LayoutTrial {
  readonly seed: number;
  /** Deviation of each layout by the drawing and in the hall itself, dB rms. */
  readonly drawn_db: readonly number[];
  readonly real_db: readonly number[];
}

/** Six ways to stand four subs, and to aim none of them, compared by the drawing and in the hall. */
export function layoutTrial(seed: number): LayoutTrial {
  const { drawn, real } = drawnVenue(seed);
  const positions = seats(drawn, { count: 80 });
  const deviations = (venue: Venue) =>
    compareLayouts(venue, layoutsIn(drawn, seed), { positions }).layouts.map((l) => l.deviation_db);
  return { seed, drawn_db: deviations(drawn), real_db: deviations(real) };
}

function layoutsIn(venue: Venue, seed: number): NamedLayouts {
  const random = uniform(seed * 13 + 3);
  const [cabinet] = venue.sources.filter((s) => s.group === "subs");
  const half = Math.max(...venue.audience[0].corners.map((p) => p.y)) + 0.8;
  const back = Math.min(...venue.boundaries.flatMap((b) => b.corners.map((p) => p.x)));
  const across = (spacing: number, x: number) =>
    line({ cabinet, position: { x, y: 0, z: 0.3 }, count: 4, spacing });
  const two = (y: number, x: number) =>
    line({ cabinet, position: { x, y: 0, z: 0.3 }, count: 2, spacing: 2 * y });
  const front = 0.6;
  return {
    "block in the middle": across(1.05, front),
    "line across": across((2 * half) / 4, front),
    "left and right": two(0.55 * half + 0.2 * half * random(), front),
    "in the corners": two(half - 0.3, Math.max(back + 0.9, 0.2 - 2 * random())),
    "wide line": across((2 * half - 0.8) / 3, front + 0.3 * random()),
    "one side": { sources: two(0.8 * half, front).sources.slice(0, 1) },
  };
}

/** Loss of the choice, of chance, and how well a difference by the drawing tells that in the hall. */
export function layoutTable(trials: readonly LayoutTrial[]): string {
  const rows = trials.map(({ drawn_db, real_db }) => {
    const least = Math.min(...real_db);
    const chosen = drawn_db.indexOf(Math.min(...drawn_db));
    return {
      loss: real_db[chosen] - least,
      chance: real_db.reduce((sum, x) => sum + x, 0) / real_db.length - least,
    };
  });
  const errors = trials.flatMap(({ drawn_db, real_db }) =>
    drawn_db.flatMap((a, i) =>
      drawn_db.slice(i + 1).map((b, k) => a - b - (real_db[i] - real_db[i + 1 + k])),
    ),
  );
  const rms = Math.sqrt(errors.reduce((sum, x) => sum + x * x, 0) / errors.length);
  const sorted = rows.map((r) => r.loss).sort((a, b) => a - b);
  const mean = (of: (r: (typeof rows)[number]) => number) =>
    (rows.reduce((sum, r) => sum + of(r), 0) / rows.length).toFixed(2);
  return [
    "| halls | loss of the choice, dB: median, mean, 90 % | within 0.1 dB | loss by chance | error of a difference, dB rms |",
    "| --- | --- | --- | --- | --- |",
    `| ${rows.length} | ${sorted[Math.floor(rows.length / 2)].toFixed(2)}, ${mean((r) => r.loss)}, ${sorted[Math.floor(0.9 * rows.length)].toFixed(2)} | ${rows.filter((r) => r.loss <= 0.1).length} of ${rows.length} | ${mean((r) => r.chance)} | ${rms.toFixed(2)} |`,
  ].join("\n");
}
