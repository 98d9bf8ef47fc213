/** The one face that notebooks import: `import { … } from "evenground"`. */
export * from "./acoustics";
export * from "./decision";
export * from "./field";
export * from "./lesson";
export * from "./measurement";
export * from "./study";
export * from "./survey/survey";
export * from "./venue";

// Where two rooms use one name, this is the one that a notebook means.
export type { BandSpread } from "./decision";
export { show } from "./lesson";
export type { Trace } from "./measurement";
export type { Layout } from "./venue";
