export { type Capstone, capstone, capstoneRows, type HandOverMark } from "./capstone";
export { type HandOver, handOverText, readHandOver } from "./hand-over";
