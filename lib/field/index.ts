/** The field: complex pressure of a venue's sources at every seat, and the survey made from it. */
export * from "./band-levels";
export type { DiffuseModel } from "./diffuse";
export * from "./drive";
export * from "./frequencies";
export * from "./images";
export * from "./model-family";
export { type FieldOptions, modelSurvey, responder } from "./model-survey";
export * from "./paths";
export * from "./pressure";
export { type Wall, wallsOf } from "./walls";
