/** What to enter at the processor, and the audience once that is done. */
import { type BalanceResult, balance } from "../../decision/balance/balance";
import { subsOptions } from "../../study/answer";
import { delayWords, gainWords } from "../../study/answer-words";
import type { StudyResult } from "../../study/result";
import { decisionSettings } from "../../study/settings";
import type { Study } from "../../study/study";
import type { Showable } from "../output/showable";
import { table } from "../output/table";

/** A row for each group of the venue, with a box for who enters it. */
export function settingsTable({ show }: Study, { answer }: StudyResult): Showable {
  const { polarity, delay_ms } = answer.setting;
  const later = (by: number) => (by > 0 ? `+${delayWords(by)}` : NO_CHANGE);
  const groups = (["mains", "fills", "subs"] as const).filter((g) =>
    show.venue.sources.some(({ group }) => group === g),
  );
  return table(
    groups.map((group) => {
      const isSubs = group === "subs";
      return {
        group,
        polarity: isSubs && polarity < 0 ? "invert" : NO_CHANGE,
        delay: later(isSubs ? delay_ms : -delay_ms),
        gain: isSubs ? gainWords(answer) : NO_CHANGE,
        "entered by, at": "",
      };
    }),
    {
      caption: `Recommended changes, relative to the ${answer.heard_count > 0 ? "measurement" : "venue file"}`,
    },
  );
}

const NO_CHANGE = "no change";

/** What every seat gets with the settings entered. */
export const balanceAfter = ({ answer, show }: Study): BalanceResult =>
  balance(answer.survey, {
    ...decisionSettings(show),
    ...subsOptions(answer.setting),
    offset: answer.offset.offset_db,
  });
