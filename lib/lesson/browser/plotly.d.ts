declare module "plotly.js-cartesian-dist-min" {
  const Plotly: {
    react(element: HTMLElement, data: readonly object[], layout: object, config?: object): Promise<unknown>;
    restyle(element: HTMLElement, values: object, traces: readonly number[]): Promise<unknown>;
    purge(element: HTMLElement): void;
  };
  export default Plotly;
}
