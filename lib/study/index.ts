export * from "./invent-recordings";
export * from "./invent-sweep";
export * from "./measure";
export { readShow, type Show, ShowFileError } from "./read-show";
export * from "./result";
export * from "./stand-for";
export * from "./study";
