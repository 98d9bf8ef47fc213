/** Frequency grids, bands, and values over them. */
export { logGrid as grid, thirdOctaves } from "../../acoustics/bands/bands";
export { valueAt } from "../../acoustics/bands/curve";
export { levelInBand as level } from "../../acoustics/response";
