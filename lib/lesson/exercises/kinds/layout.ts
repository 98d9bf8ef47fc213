/** How six cabinets stand: what each layout gives the audience, or spares the stage. */
import { compareLayouts, type NamedLayouts } from "../../../decision/layouts/compare";
import { cabinetOf } from "../../../venue/cabinet";
import * as layouts from "../../../venue/layouts";
import type { Venue } from "../../../venue/venue";
import { readChoice, type SetUp } from "../task";
import { isSub } from "./faults";

/**
 * @param options  what counts: "evenness" over the seats, or least "spill" on the stage; `upTo` highest frequency of the subs
 */
export function layoutTask(options: { readonly aim?: "evenness" | "spill" } = {}): SetUp {
  const { aim = "evenness" } = options;
  return (venue, random) => {
    const half = venue.audience[0].corners.reduce((m, c) => Math.max(m, Math.abs(c.y)), 0);
    const apart = Math.min(half, 7) * (0.75 + 0.25 * random());
    const spacing = 1.3 + 0.8 * random();
    const choices = layoutsFor(venue, apart, spacing);
    const names = Object.keys(choices);
    const drawing = {
      ...venue,
      sources: venue.sources.filter((s) => !isSub(s)).concat(choices[names[0]].sources),
    };
    return {
      question: `Six cabinets, four ways to stand. Stacks of the pair are ${(2 * apart).toFixed(1)} m apart, cabinets of the line ${spacing.toFixed(1)} m; "steered pair" is two rows of three that spare what lies behind them. Each is set to the level that suits the audience best. Which one ${aim === "spill" ? "sends the least bass to the stage, relative to what the audience gets" : "is the most even over the seats"}? Answer one of the choices.`,
      drawing,
      truth: drawing,
      choices: names,
      read: (answer) => readChoice(answer, names),
      loss:
        aim === "spill"
          ? "the bass on the stage over that in the audience"
          : "the audience's deviation from the target balance (RMS)",
      why:
        aim === "spill"
          ? "Cabinets one behind the other, delayed by the path between them, cancel to the rear; side by side they don't. Spill is read as a level on stage less that in the audience: decide.compareLayouts() calls it spill_db."
          : "Stacks apart bring bass near to the sides, and leave nulls between them; one source in the middle has no nulls, and favours those straight before it; a long line aims, the more so the higher the frequency. Which of these weighs most is a matter of the room: decide.compareLayouts() gives the deviation of each at its own best level.",
      judge: (audience) => {
        const { layouts: found } = compareLayouts(drawing, choices, {
          positions: audience.positions.filter((_, i) => i % 2 === 0),
          field: { order: 1 },
        });
        const value = (f: (typeof found)[number]) => (aim === "spill" ? (f.spill_db ?? 0) : f.deviation_db);
        const at = (name: unknown) => found.find((f) => f.name === name) ?? found[0];
        const best = [...found].sort((a, b) => value(a) - value(b))[0].name;
        const loudest = [...found].sort((a, b) => b.level_db - a.level_db)[0].name;
        return {
          cost: (answer) => value(at(answer)),
          best,
          misconception: (answer) =>
            aim === "spill"
              ? "side by side spares nothing"
              : answer === "pair"
                ? "pair by habit"
                : answer === loudest
                  ? "louder is better"
                  : "pattern for its own sake",
        };
      },
    };
  };
}

function layoutsFor(venue: Venue, apart: number, spacing: number): NamedLayouts {
  const subs = venue.sources.filter(isSub);
  const { size, filters } = subs[0];
  const x = Math.max(...subs.map((s) => s.point.x));
  const z = size.height / 2;
  const at = (y: number) => ({ x, y, z });
  const common = { cabinet: cabinetOf(subs[0]), filters };
  return {
    pair: layouts.pair({ ...common, position: at(apart), across: 1, high: 3 }),
    "centre block": layouts.block({ ...common, position: at(0), across: 3, high: 2 }),
    line: layouts.line({ ...common, position: at(0), count: 6, spacing }),
    "steered pair": layouts.mixed([
      layouts.endFire({ ...common, id: "left", position: at(apart / 2), count: 3, spacing: 1.1 }),
      layouts.endFire({ ...common, id: "right", position: at(-apart / 2), count: 3, spacing: 1.1 }),
    ]),
  };
}
