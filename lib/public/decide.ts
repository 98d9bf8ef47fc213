/** From a survey to decisions: level, delay and polarity of the subs, where to mix, causes of dips, layouts. */
export { alignment } from "../decision/alignment/alignment";
export { compareCrossovers } from "../decision/alignment/compare-crossovers";
export { crossoverSum } from "../decision/alignment/crossover-sum";
export { jointOffset } from "../decision/alignment/joint";
export { balance } from "../decision/balance/balance";
export { spread } from "../decision/balance/spread";
export { calibrate } from "../decision/calibration/calibrate";
export { explainDips as causes } from "../decision/dips/causes";
export { findDips as dips } from "../decision/dips/dips";
export { compareLayouts } from "../decision/layouts/compare";
export { searchLayouts } from "../decision/layouts/search";
export { levelOffset as offset } from "../decision/offset/offset";
export { rankReferences as rankPositions } from "../decision/reference/rank";
