/** A show from its folder to a result. */
export { studyResult as result } from "../study/result";
export { runStudy as run } from "../study/study";
export { verifyStudy as verify } from "../study/verification/verify-study";
