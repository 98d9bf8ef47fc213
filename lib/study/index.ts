export * from "./measure";
export { readShow, type Show, ShowFileError } from "./read-show";
export * from "./result";
export * from "./simulate-recordings";
export * from "./simulate-sweep";
export * from "./stand-for";
export * from "./study";
