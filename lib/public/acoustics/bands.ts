/** Frequency grids, bands, and values over them. */
export { bandLevel as level, logGrid as grid, thirdOctaves } from "../../acoustics/bands/bands";
export { valueAt as at } from "../../acoustics/bands/curve";
export { smoothPower as smooth } from "../../acoustics/bands/smoothing";
export { power } from "../../acoustics/response";
