/** Levels and ratios. */
export {
  amplitudeToDecibel as ofAmplitude,
  levelOfPressure as ofPressure,
  sumLevels as sum,
  sumLevelsCoherent as coherentSum,
  toDecibel as ofPower,
} from "../../acoustics/level/decibel";
export { frequencyWeighting as weighting } from "../../acoustics/level/weighting";
