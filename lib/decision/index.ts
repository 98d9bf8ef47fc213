export * from "../survey/part";
export * from "./alignment/acoustic-slope";
export * from "./alignment/alignment";
export * from "./alignment/compare-crossovers";
export * from "./alignment/crossover-sum";
export * from "./alignment/joint";
export * from "./alignment/result";
export * from "./balance/along-line";
export * from "./balance/audience";
export * from "./balance/balance";
export * from "./balance/distance";
export * from "./balance/residual";
export * from "./balance/spread";
export * from "./balance/summary";
export * from "./calibration/calibrate";
export * from "./calibration/result";
export { type Uncertainty, usualUncertainty } from "./calibration/values";
export * from "./dips/causes";
export { findDips } from "./dips/dips";
export * from "./dips/result";
export * from "./layouts/compare";
export * from "./layouts/compare-result";
export { type LayoutContextOptions as LayoutGroundOptions, layoutFrequencies } from "./layouts/context";
export {
  type LayoutLimits,
  type SubKind,
  type SubPositions as SubPlaces,
  usualLimits,
} from "./layouts/limits";
export * from "./layouts/search";
export * from "./layouts/search-result";
export * from "./offset/criterion";
export * from "./offset/interval";
export * from "./offset/limits";
export * from "./offset/offset";
export * from "./offset/result";
export * from "./reference/rank";
export * from "./reference/result";
