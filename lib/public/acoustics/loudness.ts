/** How loud a tone seems, by level and frequency. */
export { equalLoudness as contour, loudnessLevel as phon } from "../../acoustics/level/loudness";
