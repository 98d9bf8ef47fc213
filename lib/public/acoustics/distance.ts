/** Distance, and what it costs. */
export { distanceDrift as drift } from "../../acoustics/distance/drift";
export {
  coherentLineDrop as finiteLineLoss,
  dropPerMetre as lossPerMetre,
  lineSourceDrop as lineLoss,
  lineTransitionDistance as lineTransition,
  pointSourceDrop as pointLoss,
} from "../../acoustics/distance/spreading";
export { distance as between } from "../../acoustics/point";
export { distanceLevel as levelAt } from "../../decision/balance/distance";
