/** How sources send into directions. */
export {
  firstOrder,
  lineOfElements as line,
  rectangularPiston as piston,
} from "../../acoustics/directivity/directivity";
