/** What stands where: the venue, its file, its seats and the layouts of its subwoofers. */
export { boxFaces } from "./box";
export { orientation } from "./direction";
export { type Problem, VenueFileError } from "./file/problems";
export { readVenue } from "./file/read";
export * from "./hang";
export * as layouts from "./layouts";
export type { Layout, LayoutOptions } from "./layouts/layout";
export * from "./seats";
export * from "./venue";
