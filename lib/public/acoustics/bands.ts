/** Frequency grids, bands, and values over them. */
export { logGrid as grid, thirdOctaves } from "../../acoustics/bands/bands";
export { valueAt } from "../../acoustics/bands/curve";
export { smoothPower as smooth } from "../../acoustics/bands/smoothing";
export { levelInBand as level } from "../../acoustics/response";
