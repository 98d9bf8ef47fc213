/** The one face that notebooks import: `import { … } from "evenground"`. */
export * from "./acoustics";
// Where two rooms use one name, this is the one that a notebook means.
export type { BandSpread } from "./decision";
export * from "./decision";
export * from "./field";
export * from "./lesson";
export { show } from "./lesson";
export type { Trace } from "./measurement";
export * from "./measurement";
export * from "./study";
export * from "./survey/survey";
export type { Layout } from "./venue";
export * from "./venue";
