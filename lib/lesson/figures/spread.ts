import type { BandSpread, SpreadResult } from "../../decision/balance/spread";
import { inDecibels } from "../../text/decibels";
import { frequencyAxis, linearAxis } from "./parts/axes";
import type { Figure, FigureTrace } from "./parts/figure";
import { spreadApart } from "./parts/label-spacing";

/**
 * How much louder the front row is than the back row in each third-octave band, for mains and for subs, beside what
 * distance alone would do.
 *
 * Across: frequency (Hz, logarithmic). Up: level of the front over that of the back (dB), each a tenth of the people. Look
 * for the step between subs and mains: by so much the balance of the bass differs from front to back, whatever the level of
 * the subs.
 *
 * @param result  from `decide.spread`
 * @param options  frequencies of each group, title
 * @returns a figure, for `show`
 * @throws RangeError when a group has no third-octave band there
 * @source distance alone: spherical spreading, 20 lg of the ratio; frequency axis at the nominal mid-band frequencies of
 *   IEC 61260-1; else own way, no outside source; check: tests/lesson/figures/figures.test.ts
 * @example
 * const hall = read.venue("pennavoe-assembly-hall");
 * const survey = predict.survey(hall, venues.seats(hall, { count: 12 }), { order: 0 });
 * show(draw.spread(decide.spread(survey)));
 */
export function spreadFigure(
  result: SpreadResult,
  options: {
    /** Above the figure. Default "How much louder the front row is than the back row". */
    readonly title?: string;
    /** Up to where the subs are worth looking at, hertz. Default 100. */
    readonly subsTo?: number;
    /** From where the mains are worth looking at, hertz. Default 80. */
    readonly mainsFrom?: number;
  } = {},
): Figure {
  const { subsTo = 100, mainsFrom = 80 } = options;
  const groups = [
    { name: "mains" as const, thirds: result.mains.thirds.filter((t) => t.frequency_hz >= mainsFrom) },
    { name: "subs" as const, thirds: result.subs.thirds.filter((t) => t.frequency_hz <= subsTo) },
  ];
  for (const { name, thirds } of groups) {
    if (thirds.length === 0)
      throw new RangeError(`the survey has no third-octave band of the ${name} to draw`);
  }
  const drops = groups.flatMap(({ thirds }) =>
    thirds.flatMap((t) => [t.frontToBack_db, t.distanceFrontToBack_db]),
  );
  const top = Math.ceil((Math.max(...drops) + 1) / 5) * 5;
  const bottom = Math.min(0, Math.floor(Math.min(...drops) / 5) * 5);
  const [mains, subs] = groups;
  const ends = [
    { text: "<b>mains</b>", y: last(mains.thirds).frontToBack_db, colour: "@mains" },
    { text: "distance<br>alone", y: last(mains.thirds).distanceFrontToBack_db, colour: "@faint" },
  ];
  const heights = spreadApart(
    ends.map((e) => e.y),
    (top - bottom) / 7,
  );
  return {
    title: options.title ?? "How much louder the front row is than the back row",
    alt: groups
      .map(
        ({ name }) =>
          `The ${name} lose ${inDecibels(bandOf(result, name).frontToBack_db)} from the front row to the back row in their band; distance alone would take ${inDecibels(bandOf(result, name).distanceFrontToBack_db)}.`,
      )
      .join(" "),
    height: 360,
    data: groups.flatMap(({ name, thirds }) => [distance(thirds, name), drop(thirds, name)]),
    layout: {
      xaxis: frequencyAxis(20, 16000),
      yaxis: linearAxis("Front row over back row (dB)", bottom, top, { dtick: 5 }),
      margin: { r: 76 },
      annotations: [
        ...ends.map(({ text, colour }, i) => ({
          text,
          x: 1,
          xref: "paper",
          xanchor: "left",
          xshift: 4,
          y: heights[i],
          align: "left",
          showarrow: false,
          font: { color: colour },
        })),
        {
          text: "<b>subs</b>",
          x: Math.log10(subs.thirds[0].frequency_hz),
          y: subs.thirds[0].frontToBack_db,
          xanchor: "left",
          yanchor: "bottom",
          yshift: 6,
          showarrow: false,
          font: { color: "@subs" },
        },
      ],
    },
  };
}

const bandOf = (result: SpreadResult, name: "mains" | "subs"): BandSpread =>
  name === "mains" ? result.mains.mid : result.subs.low;

const last = (thirds: readonly BandSpread[]): BandSpread => thirds[thirds.length - 1];

const drop = (thirds: readonly BandSpread[], name: "mains" | "subs"): FigureTrace => ({
  type: "scatter",
  mode: "lines+markers",
  cliponaxis: false,
  x: thirds.map((t) => t.frequency_hz),
  y: thirds.map((t) => t.frontToBack_db),
  line: { color: `@${name}`, width: 2.5 },
  marker: { color: `@${name}`, size: 7, symbol: name === "mains" ? "circle" : "square" },
  hovertemplate: `${name}, %{x} Hz: %{y:.1f} dB<extra></extra>`,
});

const distance = (thirds: readonly BandSpread[], name: "mains" | "subs"): FigureTrace => ({
  type: "scatter",
  mode: "lines",
  x: thirds.map((t) => t.frequency_hz),
  y: thirds.map((t) => t.distanceFrontToBack_db),
  line: { color: `@${name}`, width: 1.5, dash: name === "mains" ? "dash" : "dot" },
  hoverinfo: "skip",
});
