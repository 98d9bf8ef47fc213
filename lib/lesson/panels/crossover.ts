/**
 * Delay, polarity and level of the subs at the crossover: the sum at one place, and what every seat loses by it.
 */
import { type Response, sumResponses } from "../../acoustics/response";
import { audienceWeights, hasAudience } from "../../decision/audience";
import { crossSpectrum, interference } from "../../decision/cross-spectrum";
import { crossoverSum } from "../../decision/crossover-sum";
import type { Position, Survey } from "../../survey/survey";
import type { Venue } from "../../venue/venue";
import { type DrawnVenue, drawnPart } from "../figures/drawing";
import { overFrequencyFigure } from "../figures/overFrequency";
import { seatsFigure } from "../figures/seats";
import { inDecibels } from "../levels";
import type { PanelKind, View } from "./panel";

export interface CrossoverData {
  readonly survey: Survey;
  readonly venue: Venue;
  /** Id of the position whose sum is drawn. Default: the first. */
  readonly at?: string;
  /** Band in which the loss counts, hertz. Default 55 to 125. */
  readonly band?: readonly [number, number];
}

/** What the page needs: the low end of every seat's mains and subs. */
export interface CrossoverContent {
  readonly survey: Survey;
  readonly at: string;
  readonly band: readonly [number, number];
  readonly weights: Float64Array;
  readonly venue: DrawnVenue;
}

export const crossover: PanelKind<CrossoverData, CrossoverContent> = {
  title: "What do delay and polarity do at the crossover?",
  sliders: () => [
    { name: "delay", label: "Subs later by", unit: "ms", min: -20, max: 20, step: 0.25, value: 0 },
    {
      name: "reversed",
      label: "Polarity of the subs (1: reversed)",
      unit: "",
      min: 0,
      max: 1,
      step: 1,
      value: 0,
    },
    { name: "offset", label: "Level of the subs", unit: "dB", min: -12, max: 12, step: 0.5, value: 0 },
  ],
  reduce: ({ survey, venue, at = survey.positions[0].id, band = [55, 125] }) => {
    const low = lowEnd(survey);
    crossoverSum(low, at);
    const everywhere = hasAudience(survey) ? undefined : survey.positions.map(() => 1);
    return { survey: low, at, band, weights: audienceWeights(survey, everywhere), venue: drawnPart(venue) };
  },
  prepare: (content) => {
    const { survey, band } = content;
    const rows = survey.positions.map((_, i) => i);
    const help = new Float64Array(rows.length);
    const seated = survey.positions.flatMap((p, i) => (p.id === content.at ? [] : [i]));
    return ({ delay, reversed, offset }) => {
      const polarity = reversed === 1 ? -1 : 1;
      const cross = crossSpectrum(
        survey,
        rows,
        { lower: band[0], upper: band[1] },
        { gain: 10 ** (offset / 20) },
      );
      interference(cross, delay / 1000, help);
      const loss = rows.map((i) => {
        const sum = cross.mains[i] + cross.subs[i] + 2 * polarity * help[i];
        return Math.max(0, -10 * Math.log10(Math.max(sum / cross.ideal[i], 1e-4)));
      });
      return view(content, seated, loss, { delay: delay / 1000, polarity, offset });
    };
  },
};

function view(
  { survey, at, band, weights, venue }: CrossoverContent,
  seated: readonly number[],
  loss: readonly number[],
  setting: { readonly delay: number; readonly polarity: 1 | -1; readonly offset: number },
): View {
  const sum = crossoverSum(survey, at, setting);
  const here = loss[survey.positions.findIndex((p) => p.id === at)];
  const mean = loss.reduce((total, x, i) => total + weights[i] * x, 0);
  const bad = loss.reduce((total, x, i) => total + (x > 3 ? weights[i] : 0), 0);
  const places: readonly Position[] = seated.map((i) => survey.positions[i]);
  return {
    words: `From ${Math.round(band[0])} to ${Math.round(band[1])} Hz the sum stays ${inDecibels(here)} below the ideal one at ${at}, and ${inDecibels(mean)} over the audience; ${Math.round(bad * 100)} of 100 people lose more than 3 dB.`,
    figures: [
      overFrequencyFigure({
        title: `Mains, subs and their sum: ${at}`,
        frequency: sum.frequency_hz,
        curves: { sum: sum.sum_db, mains: sum.mains_db, subs: sum.subs_db, ideal: sum.ideal_db },
        top: topOf(survey),
        span: 40,
        yTitle: survey.quantity === "pressure" ? "Level (dB re 20 µPa)" : "Level (dB)",
      }),
      seatsFigure(
        venue,
        places,
        seated.map((i) => -loss[i]),
        { title: "What each seat loses", quantity: "Sum against the ideal one (dB)" },
      ),
    ],
  };
}

/** Frequencies of interest, mains with their fills, as 32-bit numbers' worth of places. */
function lowEnd(survey: Survey): Survey {
  const kept = [...survey.frequency.keys()].filter(
    (i) => survey.frequency[i] >= 31 && survey.frequency[i] <= 200,
  );
  const part = (response: Response): Response => ({
    frequency,
    re: Float64Array.from(kept, (i) => Math.fround(response.re[i])),
    im: Float64Array.from(kept, (i) => Math.fround(response.im[i])),
  });
  const frequency = Float64Array.from(kept, (i) => survey.frequency[i]);
  return {
    name: survey.name,
    quantity: survey.quantity,
    frequency,
    positions: survey.positions,
    mains: survey.mains.map((m, i) => part(survey.fills ? sumResponses(m, survey.fills[i]) : m)),
    subs: survey.subs.map(part),
  };
}

/** An axis that holds every offset the slider allows. */
function topOf({ mains, subs, quantity }: Survey): number {
  const highest = (responses: readonly Response[], i = 0) =>
    responses[i].re.reduce((most, x, k) => Math.max(most, Math.hypot(x, responses[i].im[k])), 1e-12);
  const loudest = Math.max(highest(mains), highest(subs)) / (quantity === "pressure" ? 20e-6 : 1);
  return Math.ceil((20 * Math.log10(loudest) + 12) / 5) * 5;
}
