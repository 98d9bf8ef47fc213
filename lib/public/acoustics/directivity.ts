/** How sources send into directions. */
export {
  firstOrder,
  lineOfElements,
  rectangularPiston as piston,
} from "../../acoustics/directivity/directivity";
