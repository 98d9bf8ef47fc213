/** Judges a hand-over by what the audience gets from an engineer who works by it. */
import { rankReferences } from "../../decision/reference/rank";
import type { RankedPosition, ReferenceResult } from "../../decision/reference/result";
import { modelSurvey } from "../../field/model-survey";
import type { Position, Survey } from "../../survey/survey";
import { frontOfHousePositions } from "../../venue/seats";
import type { NamedPoint, Venue } from "../../venue/venue";
import { withSubs } from "../exercises/kinds/faults";
import { judgeSetting } from "../exercises/kinds/joint";
import { mistakenPosition } from "../exercises/kinds/mix-position";
import { nearestMistake, type Tempting } from "../exercises/kinds/tempting";
import type { Misconception } from "../exercises/misconceptions";
import type { Setting } from "../exercises/task";
import { type HandOver, MOST_BANDS } from "./hand-over";

export interface JudgedPart {
  readonly part: "subs" | "place" | "correction" | "bands";
  /** Share of the whole, of 100. */
  readonly weight: number;
  /** What the number measures, in words. */
  readonly loss: string;
  readonly loss_db: number;
  readonly best_db: number;
  /** Loss over the best at which nothing is left, dB. */
  readonly span: number;
  readonly misconception: Misconception;
}

/** Third octaves about which a mix engineer is told, hertz. */
const LOW = [31.5, 125] as const;

/**
 * @param truth  as it really stands there
 * @param people  seats at which no microphone stood, modelled as it stands
 * @param drawing  to tell who believed it
 */
export function judge(truth: Venue, people: Survey, drawing: Venue) {
  const forSetting = judgeSetting(people);
  const known = new Map<string, ReferenceResult>();
  const rankedAt = (setting: Setting, extra: readonly Position[]): ReferenceResult => {
    const key = JSON.stringify([setting, extra.map((p) => p.point)]);
    const result = known.get(key) ?? ranked(truth, people.positions, setting, extra);
    known.set(key, result);
    return result;
  };
  const asDrawn = { offset: 0, delay: 0, polarity: "normal" } as const;
  const drawnBias = (standing: Position): number =>
    ranked(drawing, people.positions, asDrawn, [standing]).positions.find((p) => p.id === standing.id)
      ?.bias_db ?? 0;
  return {
    parts(handOver: HandOver, at: NamedPoint): JudgedPart[] {
      const standing = { ...at, area: "front of house", people: 0 };
      const { positions: all, thirdOctaves_hz } = rankedAt(handOver.setting, [standing]);
      const here = all.find((p) => p.id === at.id) as RankedPosition;
      const [first, last] = [all[0], all[all.length - 1]];
      const thirds = lowThirdOctaves(here, thirdOctaves_hz);
      const unreported = residual(thirds, handOver.correction_db, handOver.bands);
      const informed = residual(thirds, here.bias_db, worstBands(thirds, here.bias_db));
      const off = Math.abs(handOver.correction_db - here.bias_db) > 0.5;
      const drawn: Tempting[] = off ? [["drawing believed", drawnBias(standing)]] : [];
      const silent = residual(thirds, here.bias_db, []);
      return [
        {
          part: "subs",
          weight: 40,
          loss: "the audience's deviation together with the loss of the sum through the crossover",
          loss_db: forSetting.cost(handOver.setting),
          best_db: forSetting.cost(forSetting.best),
          span: 3,
          misconception: forSetting.misconception(handOver.setting),
        },
        {
          part: "place",
          weight: 20,
          loss: "what a judgement made there is off by",
          loss_db: here.score_db,
          best_db: first.score_db,
          span: Math.max(1, last.score_db - first.score_db),
          misconception: mistakenPosition(all, here),
        },
        {
          part: "correction",
          weight: 20,
          loss: "what the audience is off by when the engineer trusts the number",
          loss_db: Math.abs(handOver.correction_db - here.bias_db),
          best_db: 0,
          span: 3,
          misconception: nearestMistake(
            handOver.correction_db,
            [...drawn, ["mix position made right", 0], ["sign of the correction", -here.bias_db]],
            1,
            "microphone believed",
          ),
        },
        {
          part: "bands",
          weight: 20,
          loss: "what the low third-octave bands are off by in the audience when the mix engineer corrects the rest by ear (RMS)",
          loss_db: unreported,
          best_db: Math.min(informed, unreported),
          span: Math.max(1, 1.25 * (silent - informed)),
          misconception: handOver.bands.length === 0 ? "bands left out" : "bands of another position",
        },
      ];
    },
    best(): HandOver {
      const setting = forSetting.best as Setting;
      const { positions, thirdOctaves_hz } = rankedAt(setting, []);
      const { point, bias_db } = positions[0];
      const bands = worstBands(lowThirdOctaves(positions[0], thirdOctaves_hz), bias_db);
      return { setting, position: { x: point.x, y: point.y }, correction_db: bias_db, bands };
    },
  };
}

function ranked(
  truth: Venue,
  positions: readonly Position[],
  { offset, delay, polarity }: Setting,
  extra: readonly Position[],
): ReferenceResult {
  const set = withSubs(truth, { gain: offset, delay: delay / 1000, inverted: polarity === "inverted" });
  const standing = [...frontOfHousePositions(set, { spacing: 1.5 }), ...extra];
  return rankReferences(modelSurvey(set, positions), modelSurvey(set, standing), { offset: 0 });
}

type Bands = HandOver["bands"];

function lowThirdOctaves({ difference_db }: RankedPosition, thirds: readonly number[]): Bands {
  return thirds.flatMap((frequency_hz, k) =>
    frequency_hz >= LOW[0] && frequency_hz <= LOW[1] ? [{ frequency_hz, heard_db: difference_db[k] }] : [],
  );
}

/** Low thirds that stray most from what the place hears on the whole. */
function worstBands(thirds: Bands, bias: number): Bands {
  const away = (b: Bands[number]) => Math.abs(b.heard_db - bias);
  return thirds
    .filter((b) => away(b) >= 1)
    .sort((a, b) => away(b) - away(a))
    .slice(0, MOST_BANDS)
    .sort((a, b) => a.frequency_hz - b.frequency_hz);
}

/** Root mean square over the low thirds of what is heard there less what was told, dB. */
function residual(thirds: Bands, correction: number, bands: Bands): number {
  const told = (f: number) =>
    bands.find((b) => Math.abs(Math.log2(b.frequency_hz / f)) < 1 / 6)?.heard_db ?? correction;
  const square = thirds.reduce((s, b) => s + (b.heard_db - told(b.frequency_hz)) ** 2, 0);
  return Math.sqrt(square / thirds.length);
}
