/** The field: complex pressure of a venue's sources at every seat, and the survey made from it. */
export * from "./band-levels";
export * from "./drive";
export * from "./frequencies";
export * from "./model-family";
export { type FieldOptions, modelSurvey, responder } from "./model-survey";
export * from "./paths/images";
export * from "./paths/paths";
export { type Wall, wallsOf } from "./paths/walls";
export * from "./pressure";
export type { DiffuseModel } from "./room/diffuse";
