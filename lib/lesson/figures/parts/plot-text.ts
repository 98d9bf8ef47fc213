/**
 * Text from data as it may stand in a label of a figure: Plotly reads some tags and `%{…}` in labels, and must not
 * take a name for them.
 *
 * @param text  such as a position's name
 */
export const plotText = (text: string): string =>
  text.replace(/&/g, "&amp;").replace(/</g, "&lt;").replace(/>/g, "&gt;").replace(/%\{/g, "%&#123;");
