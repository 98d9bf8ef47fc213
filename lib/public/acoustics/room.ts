/** Rooms as statistics, and their modes. */
export { barronRevised as directAndDiffuse, criticalDistance } from "../../acoustics/room/diffuse-field";
export { roomModes as modes } from "../../acoustics/room/modes";
export {
  absorptionAreaOfReverberation as absorptionArea,
  eyring,
  sabine,
  schroederFrequency as schroeder,
} from "../../acoustics/room/reverberation";
