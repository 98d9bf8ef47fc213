/** Exposure to sound. */
export { allowedTime, equivalentLevel } from "../../acoustics/level/dose";
