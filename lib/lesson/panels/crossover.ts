/**
 * Delay, polarity and level of the subs at the crossover: the sum at one place, and what every seat loses by it.
 */

import type { Response } from "../../acoustics/response";
import { crossSpectrum, interference } from "../../decision/alignment/cross-spectrum";
import { crossoverSum } from "../../decision/alignment/crossover-sum";
import { audienceWeights, hasAudience } from "../../decision/balance/audience";
import { mainsWithFills } from "../../survey/mains-with-fills";
import type { Position, Survey } from "../../survey/survey";
import { inDecibels } from "../../text/decibels";
import type { Venue } from "../../venue/venue";
import { type DrawnVenue, drawnPart } from "../figures/parts/drawing";
import { overFrequencyFigure } from "../figures/parts/over-frequency";
import { seatsFigure } from "../figures/seats";
import type { PanelKind, View } from "./panel";

export interface CrossoverData {
  readonly survey: Survey;
  readonly venue: Venue;
  /** Id of the position whose sum is drawn. Default: the first. */
  readonly at?: string;
  /** Band in which the loss counts, hertz. Default 55 to 125. */
  readonly band?: readonly [number, number];
}

/** What the page needs: the low end of every seat's mains and subs, in 32-bit numbers that keep the notebook small. */
export interface CrossoverContent {
  readonly low: LowEnd;
  readonly at: string;
  readonly band: readonly [number, number];
  readonly weights: Float64Array;
  readonly venue: DrawnVenue;
}

interface LowEnd {
  readonly name: string;
  readonly quantity: Survey["quantity"];
  readonly frequency: Float64Array;
  readonly positions: readonly Position[];
  /** Position after position, its frequencies. */
  readonly mains: { readonly re: Float32Array; readonly im: Float32Array };
  readonly subs: { readonly re: Float32Array; readonly im: Float32Array };
}

export const crossover: PanelKind<CrossoverData, CrossoverContent> = {
  title: "What do delay and polarity do at the crossover?",
  sliders: () => [
    { name: "delay", label: "Subs later by", unit: "ms", min: -20, max: 20, step: 0.25, value: 0 },
    {
      name: "reversed",
      label: "Polarity of the subs (1: inverted)",
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
    crossoverSum(unpacked(low), at);
    const everywhere = hasAudience(survey) ? undefined : survey.positions.map(() => 1);
    return { low, at, band, weights: audienceWeights(survey, everywhere), venue: drawnPart(venue) };
  },
  prepare: (content) => {
    const { band } = content;
    const survey = unpacked(content.low);
    const top = topOf(survey);
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
      return view({ ...content, survey, top }, seated, loss, { delay: delay / 1000, polarity, offset });
    };
  },
};

function view(
  {
    survey,
    top,
    at,
    band,
    weights,
    venue,
  }: CrossoverContent & { readonly survey: Survey; readonly top: number },
  seated: readonly number[],
  loss: readonly number[],
  setting: { readonly delay: number; readonly polarity: 1 | -1; readonly offset: number },
): View {
  const sum = crossoverSum(survey, at, setting);
  const here = loss[survey.positions.findIndex((p) => p.id === at)];
  const mean = loss.reduce((total, x, i) => total + weights[i] * x, 0);
  const bad = loss.reduce((total, x, i) => total + (x > 3 ? weights[i] : 0), 0);
  const positions: readonly Position[] = seated.map((i) => survey.positions[i]);
  return {
    words: `From ${Math.round(band[0])} to ${Math.round(band[1])} Hz the sum stays ${inDecibels(here)} below an in-phase sum at ${at}, and ${inDecibels(mean)} over the audience; ${Math.round(bad * 100)} of 100 people lose more than 3 dB.`,
    figures: [
      overFrequencyFigure({
        title: `Mains, subs and their sum: ${at}`,
        frequency: sum.frequency_hz,
        curves: { sum: sum.sum_db, mains: sum.mains_db, subs: sum.subs_db, "in phase": sum.inPhase_db },
        top,
        span: 40,
        yTitle: survey.quantity === "pressure" ? "Level (dB re 20 µPa)" : "Level (dB)",
      }),
      seatsFigure(
        venue,
        positions,
        seated.map((i) => -loss[i]),
        { title: "What each seat loses", quantity: "Sum relative to an in-phase sum (dB)" },
      ),
    ],
  };
}

/** Frequencies around a crossover, mains with their fills. */
function lowEnd(survey: Survey): LowEnd {
  const { name, quantity, positions } = survey;
  const kept = [...survey.frequency.keys()].filter(
    (i) => survey.frequency[i] >= 40 && survey.frequency[i] <= 200,
  );
  const flat = (responses: readonly Response[]) => ({
    re: Float32Array.from(responses.flatMap((r) => kept.map((i) => r.re[i]))),
    im: Float32Array.from(responses.flatMap((r) => kept.map((i) => r.im[i]))),
  });
  return {
    name,
    quantity,
    frequency: Float64Array.from(kept, (i) => survey.frequency[i]),
    positions,
    mains: flat(positions.map((_, i) => mainsWithFills(survey, i))),
    subs: flat(survey.subs),
  };
}

function unpacked({ mains, subs, ...rest }: LowEnd): Survey {
  const { frequency, positions } = rest;
  const n = frequency.length;
  const row = (flat: Float32Array, i: number) => Float64Array.from(flat.subarray(i * n, (i + 1) * n));
  const responses = ({ re, im }: LowEnd["mains"]) =>
    positions.map((_, i) => ({ frequency, re: row(re, i), im: row(im, i) }));
  return { ...rest, mains: responses(mains), subs: responses(subs) };
}

/** An axis that holds every offset the slider allows. */
function topOf({ mains, subs, quantity }: Survey): number {
  const highest = (responses: readonly Response[], i = 0) =>
    responses[i].re.reduce((most, x, k) => Math.max(most, Math.hypot(x, responses[i].im[k])), 1e-12);
  const loudest = Math.max(highest(mains), highest(subs)) / (quantity === "pressure" ? 20e-6 : 1);
  return Math.ceil((20 * Math.log10(loudest) + 12) / 5) * 5;
}
