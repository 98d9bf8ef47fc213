/** From recordings to responses and to a survey. */
export { estimateDelay } from "../measurement/delay/delay";
export { clockDrift, correctDrift } from "../measurement/delay/drift";
export { calibrationFrom as calibrator } from "../measurement/health/calibrator";
export { matchMicrophones } from "../measurement/health/microphones";
export { checkNoiseFloor as noiseFloor } from "../measurement/health/noise-floor";
export { recordingHealth as health } from "../measurement/health/recording";
export { harmonicLevel as harmonics, sweepTransferFunction } from "../measurement/signals/distortion";
export { resample } from "../measurement/signals/resample";
export { deconvolveSweep as sweep } from "../measurement/signals/sweep";
export { measuredSurvey as survey } from "../measurement/survey";
export { averageResponses as average } from "../measurement/transfer/average";
export { joinedTransferFunctions } from "../measurement/transfer/joined";
export { spreadPerBand } from "../measurement/transfer/spread";
export { transferFunction } from "../measurement/transfer/transfer-function";
export { measureShow as show } from "../study/measure";
