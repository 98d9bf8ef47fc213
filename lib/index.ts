/**
 * What notebooks import: `import { decide, predict, read, show } from "evenground"`. A group and a dot show what there is.
 *
 * A group's name is a verb or a plural, so that the word for one thing stays free for a variable:
 * `const venue = read.venue("harbour-theatre")`.
 */
export { show } from "./lesson/output/show";
export { dataFrame } from "./lesson/output/table";
export { panel } from "./lesson/panels";
export { listen } from "./lesson/sound/listen";
export * as acoustics from "./public/acoustics";
export * as course from "./public/course";
export * as decide from "./public/decide";
export * as draw from "./public/draw";
export * as layouts from "./public/layouts";
export * as measure from "./public/measure";
export * as predict from "./public/predict";
export * as read from "./public/read";
export * as studies from "./public/studies";
export * as tables from "./public/tables";
export type * from "./public/types";
export * as venues from "./public/venues";
export * as write from "./public/write";
