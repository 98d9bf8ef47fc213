/** Layouts that make subwoofer cabinets: how they stand, how they are delayed and which way round they are driven. */
export { arc } from "./arc";
export { block } from "./block";
export { endFire } from "./end-fire";
export { flown } from "./flown";
export { gradient } from "./gradient";
export { line } from "./line";
export { mixed } from "./mixed";
export { pair } from "./pair";
