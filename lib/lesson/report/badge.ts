/** The state of an answer, told by word, shape and colour, so that any one of them will do. */
import type { Fitness } from "../../study/fitness";
import type { Verification } from "../../study/verification/result";
import { capital } from "../../text/capital";
import { escapeHtml } from "../../text/escape";

export interface State {
  readonly state: Fitness["state"] | Verification["state"];
  /** Why, in a sentence. */
  readonly why: string;
}

const badges: Readonly<Record<Fitness["state"], { readonly name: string; readonly shape: string }>> = {
  "fit for use": {
    name: "fit",
    shape: '<circle cx="20" cy="20" r="18"/><path class="sign" d="M11 21l6 6 12-14"/>',
  },
  "use with care": {
    name: "care",
    shape: '<path d="M20 2l18 34H2z"/><path class="sign" d="M20 14v11M20 30v1"/>',
  },
  "measure again": {
    name: "again",
    shape: '<rect x="3" y="3" width="34" height="34"/><path class="sign" d="M12 12l16 16M28 12L12 28"/>',
  },
};

/** What was verified looks like what may be used. */
const looks = {
  reached: "fit for use",
  "cannot be said": "use with care",
  "not reached": "measure again",
} as const;

export function badge({ state, why }: State): string {
  const { name, shape } =
    badges[state in looks ? looks[state as Verification["state"]] : (state as Fitness["state"])];
  return `<div class="badge ${name}"><svg viewBox="0 0 40 40" aria-hidden="true">${shape}</svg><p><strong>${capital(state)}.</strong> ${escapeHtml(why)}</p></div>`;
}
