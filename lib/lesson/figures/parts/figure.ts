/**
 * A figure as data: what Plotly draws, with a sentence for those who cannot see it.
 *
 * Nothing here draws. A figure is made by one of the functions in `figures/`, shown in a notebook by `show`, and put
 * into a page by `figureHtml`. Colours in it are names of the house style ("@ink", "@distance 0.4"); they become real
 * ones where the figure is drawn, because only there is it known whether the page is light or dark.
 */
export interface Figure {
  /** What the figure shows, above it; a few words. */
  readonly title: string;
  /** What there is to see, in one to three sentences with numbers and units. */
  readonly alt: string;
  /** Height, pixels, without title and text; the greatest where `shape` is given. */
  readonly height: number;
  /** For drawings to scale: height over width of what is drawn, so that a narrow page leaves no gaps. */
  readonly shape?: number;
  /** Plotly traces. */
  readonly data: readonly FigureTrace[];
  /** Plotly layout, without what the house style adds. */
  readonly layout: FigureLayout;
}

/** One Plotly trace, as plain data. */
export type FigureTrace = { readonly type: "scatter" | "heatmap" | "bar" } & {
  readonly [key: string]: Plain;
};

/** A Plotly layout, as plain data. */
export type FigureLayout = { readonly [key: string]: Plain };

/** What may stand in a figure: plain data and typed arrays. */
export type Plain =
  | undefined
  | null
  | boolean
  | number
  | string
  | Float32Array
  | Float64Array
  | readonly Plain[]
  | { readonly [key: string]: Plain };
