/** What the model says: the survey of a venue, and recordings as microphones there would make them. */
export { modelSurvey as survey } from "../field/model-survey";
export { simulateRecordings as recordings } from "../study/simulate-recordings";
export { simulateSweep as sweep } from "../study/simulate-sweep";
