/** Judges a hand-over by what the audience gets from an engineer who works by it. */
import { rankReferences } from "../../decision/reference/rank";
import type { RankedPosition, ReferenceResult } from "../../decision/reference/result";
import { joinSurveys, partOfSurvey } from "../../survey/part";
import type { Position } from "../../survey/survey";
import { frontOfHousePositions, seats } from "../../venue/seats";
import type { NamedPoint, Venue } from "../../venue/venue";
import { audienceOf, seatsOffAxis } from "../exercises/audience-of";
import { type SubsChange, surveyWithSubs } from "../exercises/kinds/faults";
import { judgeSetting } from "../exercises/kinds/joint";
import { mistakenPosition } from "../exercises/kinds/mix-position";
import { nearestMistake } from "../exercises/kinds/tempting";
import { knownSurvey } from "../exercises/known-survey";
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
  /** The mistake behind it, should it not be good enough. */
  misconception(): Misconception;
}

/** Third octaves about which a mix engineer is told, hertz. */
const LOW = [31.5, 125] as const;

/**
 * @param there  the venue as it really stands
 * @param left  what somebody has changed the subs by
 * @param held  dB by which a limiter held them down in a run as they were found
 * @param rows  seats of the audience, off the axis, at which no microphone stood
 * @param drawing  to tell who believed it
 */
export function judge(there: Venue, left: SubsChange, held: number, rows: readonly number[], drawing: Venue) {
  const forSetting = judgeSetting(
    partOfSurvey(surveyWithSubs(audienceOf(there, seatsOffAxis(there)), left), rows),
  );
  const known = new Map<string, ReferenceResult>();
  const rankedAt = (setting: Setting, extra: readonly Position[]): ReferenceResult => {
    const key = JSON.stringify([setting, extra.map((p) => p.point)]);
    const result = known.get(key) ?? ranked(there, rows, together(left, setting), extra);
    known.set(key, result);
    return result;
  };
  const drawnBias = (standing: Position): number =>
    ranked(drawing, rows, {}, [standing]).positions.find((p) => p.id === standing.id)?.bias_db ?? 0;
  return {
    parts(handOver: HandOver, at: NamedPoint): JudgedPart[] {
      const standing = { ...at, area: "front of house", people: 0 };
      const { positions: all, thirdOctaves_hz } = rankedAt(handOver.setting, [standing]);
      const here = all.find((p) => p.id === at.id) as RankedPosition;
      const [first, last] = [all[0], all[all.length - 1]];
      const thirds = lowThirdOctaves(here, thirdOctaves_hz);
      const unreported = residual(thirds, handOver.correction_db, handOver.bands);
      const informed = residual(thirds, here.bias_db, worstBands(thirds, here.bias_db));
      const silent = residual(thirds, here.bias_db, []);
      return [
        {
          part: "subs",
          weight: 40,
          loss: "the audience's deviation together with the loss of the sum through the crossover",
          loss_db: forSetting.cost(handOver.setting),
          best_db: forSetting.cost(forSetting.best),
          span: 3,
          misconception: () => {
            const { offset, ...timing } = handOver.setting;
            const corrected = { ...timing, offset: offset - held };
            const least = forSetting.cost(forSetting.best);
            // Whoever believes what the limiter let through asks for more by as much as it took.
            if (held > 0 && forSetting.cost(corrected) < least + 0.7) return "limiter believed";
            return forSetting.misconception(handOver.setting);
          },
        },
        {
          part: "place",
          weight: 20,
          loss: "what a judgement made there is off by",
          loss_db: here.score_db,
          best_db: first.score_db,
          span: Math.max(1, last.score_db - first.score_db),
          misconception: () => mistakenPosition(all, here),
        },
        {
          part: "correction",
          weight: 20,
          loss: "what the audience is off by when the engineer trusts the number",
          loss_db: Math.abs(handOver.correction_db - here.bias_db),
          best_db: 0,
          span: 2,
          misconception: () =>
            nearestMistake(
              handOver.correction_db,
              [
                ["drawing believed", drawnBias(standing)],
                ["mix position made right", 0],
                ["sign of the correction", -here.bias_db],
              ],
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
          misconception: () => (handOver.bands.length === 0 ? "bands left out" : "bands of another position"),
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

/** A hand-over's setting on top of what was left. */
function together({ gain = 0, delay = 0, inverted = false }: SubsChange, setting: Setting): SubsChange {
  return {
    gain: gain + setting.offset,
    delay: delay + setting.delay / 1000,
    inverted: inverted !== (setting.polarity === "inverted"),
  };
}

function ranked(
  venue: Venue,
  rows: readonly number[],
  { gain = 0, delay = 0, inverted = false }: SubsChange,
  extra: readonly Position[],
): ReferenceResult {
  const people = partOfSurvey(knownSurvey(venue, seats(venue, { count: seatsOffAxis(venue) })), rows);
  const zone = knownSurvey(venue, frontOfHousePositions(venue, { spacing: 1.5 }));
  const standing = extra.length > 0 ? joinSurveys(zone, knownSurvey(venue, extra)) : zone;
  return rankReferences(people, standing, { offset: gain, delay, polarity: inverted ? -1 : 1 });
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
