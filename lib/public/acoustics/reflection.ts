/** One reflection, and the cavity that a sub stands in. */
export { quarterWaveFrequencies as quarterWaves } from "../../acoustics/reflection/cavity";
export {
  combDepth,
  notchFrequencies as notches,
  pathDifference,
  wallDistanceOfNotch as wallDistance,
} from "../../acoustics/reflection/reflection";
