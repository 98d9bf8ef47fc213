/** The first words of a result in the console: what to set, what it brings, and how sure that is. */
import { gainWords, outcomeWords, settingWords } from "../../lib/study/answer-words";
import type { StudyResult } from "../../lib/study/result";

export const headline = ({ answer }: Pick<StudyResult, "answer">): string =>
  `Subs: ${gainWords(answer)} on the current level, ${settingWords(answer)}.\n${outcomeWords(answer)}`;

/** What came of it once it was entered; nothing where that was not recorded. */
export const verified = ({ verification }: Pick<StudyResult, "verification">): string =>
  verification ? `\n${verification.reasons.join("\n")}\n` : "";
