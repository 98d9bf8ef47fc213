/** A reader's guess on the figure that shows what is true. */
import type { Question, Said } from "../../guesses/question";
import type { Figure, FigureTrace } from "./figure";

/**
 * The figure with a sketch, or a guessed number, where it has an axis for it.
 *
 * @param figure  what opened after the guess
 * @param question  the prediction; a number says by `on` where it stands in the figure
 * @param said  the guess
 */
export function guessedOn(figure: Figure, question: Question, said: Said): Figure {
  if (said === null) return figure;
  if ("points" in question) {
    const y = said as readonly number[];
    return withCurve(
      figure,
      question.points.map(({ x }) => x),
      y,
      Boolean(question.log),
    );
  }
  if (!("on" in question) || question.on === undefined) return figure;
  const value = Number(said);
  return question.on === "x"
    ? withUpright(figure, value)
    : withCurve(figure, [question.on.x], [value], false);
}

const dotted = { color: "@ink", width: 2.5, dash: "dot" } as const;

function withCurve(figure: Figure, x: readonly number[], y: readonly number[], log: boolean): Figure {
  const guess: FigureTrace = {
    type: "scatter",
    mode: "lines+markers",
    x,
    y,
    line: dotted,
    marker: { color: "@ink", size: 9, symbol: "diamond" },
    hovertemplate: "your guess: %{y:.1f}<extra></extra>",
  };
  const yaxis = figure.layout.yaxis as { readonly range?: readonly number[] } | undefined;
  const range = yaxis?.range && [
    Math.min(yaxis.range[0], ...y.map((value) => value - 1)),
    Math.max(yaxis.range[1], ...y.map((value) => value + 1)),
  ];
  const name = {
    text: "<b>your guess</b>",
    x: log ? Math.log10(x[0]) : x[0],
    y: y[0],
    xanchor: "left",
    yanchor: "bottom",
    xshift: 6,
    yshift: 4,
    showarrow: false,
    font: { color: "@ink" },
  };
  return {
    ...figure,
    alt: `${figure.alt} Dotted, with diamonds: your guess.`,
    data: [...figure.data, guess],
    layout: {
      ...figure.layout,
      ...(range ? { yaxis: { ...yaxis, range } } : {}),
      annotations: [...annotationsOf(figure), name],
    },
  };
}

function withUpright(figure: Figure, x: number): Figure {
  const { xaxis, shapes } = figure.layout as {
    readonly xaxis?: { readonly type?: string };
    readonly shapes?: readonly { readonly [key: string]: string }[];
  };
  const upright = { type: "line", x0: x, x1: x, yref: "paper", y0: 0, y1: 1, line: dotted };
  const name = {
    text: "<b>your guess</b>",
    x: xaxis?.type === "log" ? Math.log10(x) : x,
    yref: "paper",
    y: 0.02,
    xanchor: "left",
    yanchor: "bottom",
    xshift: 4,
    showarrow: false,
    font: { color: "@ink" },
  };
  return {
    ...figure,
    alt: `${figure.alt} Dotted: your guess.`,
    layout: {
      ...figure.layout,
      shapes: [...(shapes ?? []), upright],
      annotations: [...annotationsOf(figure), name],
    },
  };
}

const annotationsOf = ({ layout }: Figure) =>
  (layout.annotations ?? []) as readonly { readonly [key: string]: string }[];
