/** Air: speed of sound and absorption. */
export {
  atmosphericAbsorption as absorption,
  speedOfSound,
  standardAir as standard,
} from "../../acoustics/distance/air";
