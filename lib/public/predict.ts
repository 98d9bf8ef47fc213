/**
 * What the model says: the survey of a venue, recordings as microphones there would make them, and what is likely of every seat once
 * some were heard.
 */
export { estimateSurvey as estimate } from "../estimate/estimate";
export { modelSurvey as survey } from "../field/model-survey";
export { simulateRecordings as recordings } from "../study/simulate-recordings";
export { simulateSweep as sweep } from "../study/simulate-sweep";
