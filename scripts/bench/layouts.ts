/**
 * Trying layouts beside numpy: the same 1,000 candidates from the same fields of all places, 500 seats, 21 frequencies; and a whole search
 * of 10,000 candidates in an arena, fields of all places included.
 */
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { layoutContext } from "../../lib/decision/layouts/context";
import { layoutEvaluator, mainsAt, unitOf } from "../../lib/decision/layouts/evaluate";
import { randomGenes } from "../../lib/decision/layouts/genes";
import { layoutSpace, usualLimits } from "../../lib/decision/layouts/limits";
import { searchLayouts } from "../../lib/decision/layouts/search";
import { transferSteps } from "../../lib/decision/layouts/transfer";
import { uniform } from "../../lib/numeric/random";
import { readVenue } from "../../lib/venue/file/read";
import { seats } from "../../lib/venue/seats";
import { withPeer } from "./peer-process";
import { alone, beside, medians, type Row, timed } from "./rows";

const candidates = 1000;

/**
 * Times trials, ours and numpy's in turn, then one whole search.
 *
 * @param python  interpreter with numpy and scipy
 * @throws Error when the two do not find the same deviations and spill
 */
export async function bench(python: string): Promise<Row[]> {
  const file = join(__dirname, "..", "..", "data", "venues", "vollhaven-arena.json");
  const venue = readVenue(readFileSync(file, "utf8"), "vollhaven-arena.json");
  const positions = seats(venue, { count: 500 });
  // The diffuse field is left out on both sides.
  const options = { positions, field: { diffuse: "none" as const } };
  const limits = usualLimits(venue);
  const space = layoutSpace(venue, limits);
  const context = layoutContext(venue, options);
  const transfers = finished(
    transferSteps(
      venue,
      space.units,
      [...positions, ...context.stage].map((p) => p.point),
      options,
    ),
  );
  const chance = uniform(1);
  const all = Array.from({ length: candidates }, () => randomGenes(space, chance));
  const evaluator = layoutEvaluator(context, transfers, space, options);
  const most = Math.max(...all.map((genes) => genes.length));
  const columns = transfers.frequency.length;
  const mains = mainsAt(context, columns, options);
  const numbers = [
    [transfers.re.length, transfers.rows, positions.length, columns, candidates, most],
    transfers.frequency,
    transfers.weight,
    context.weights,
    mains.low,
    mains.scale,
    mains.re,
    mains.im,
    ...transfers.re,
    ...transfers.im,
    ...all.flatMap((genes) =>
      Array.from({ length: most }, (_, i) => {
        const gene = genes[i];
        if (!gene) return [-1, 0, 0];
        const size = 10 ** (space.gains[gene.gain] / 20) * space.polarities[gene.polarity];
        return [unitOf(gene, space), size, space.delays[gene.delay]];
      }),
    ),
  ].flatMap((x) => Array.from(x));
  const trials = () => all.map((genes) => evaluator.evaluate(genes));
  const expected = trials();
  const requireSame = (figures: readonly number[]) =>
    expected.forEach((trial, k) => {
      const off = Math.max(
        Math.abs(trial.deviation_db - figures[2 * k]),
        Math.abs((trial.spill_db ?? 0) - figures[2 * k + 1]),
      );
      if (!(off <= 1e-3)) throw new Error(`layout ${k}: ours and numpy's differ by ${off} dB`);
    });
  const [ours, theirs] = await withPeer(python, "layouts_numpy.py", [Float64Array.from(numbers)], (peer) =>
    medians([() => timed(trials), () => peer("trials", requireSame)], 5, 1),
  );
  let tried = 0;
  const whole = timed(
    () => searchLayouts(venue, limits, { positions, candidates: 10_000 }),
    (found) => {
      tried = found.tried;
    },
  );
  const words = "numpy, vectorised over seats and frequencies, and scipy.optimize";
  return [
    beside(`${candidates} layouts, ${positions.length} seats × ${columns} frequencies`, ours, words, theirs),
    alone(`search of ${tried} layouts on ${positions.length} seats, ${space.units.length} places`, whole),
  ];
}

function finished<T>(steps: Generator<unknown, T, void>): T {
  for (;;) {
    const next = steps.next();
    if (next.done) return next.value;
  }
}
