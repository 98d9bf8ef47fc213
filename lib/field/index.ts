export * from "./frequencies";
export * from "./model-survey";
