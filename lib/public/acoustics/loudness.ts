/** How loud a tone seems, by level and frequency. */
export { equalLoudness as contour, loudnessLevel as level } from "../../acoustics/level/loudness";
