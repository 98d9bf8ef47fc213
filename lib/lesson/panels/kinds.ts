/** All kinds of panel, by the names that `panel` takes. */
import type { PanelKind } from "./panel";
import { type SubLevelContent, type SubLevelData, subLevel } from "./subLevel";

/** The data of each kind. */
export interface PanelData {
  readonly "sub level": SubLevelData;
}

/** What the page gets of each. */
export interface PanelContents {
  readonly "sub level": SubLevelContent;
}

export type PanelName = keyof PanelData;

export const kinds: { readonly [name in PanelName]: PanelKind<PanelData[name], PanelContents[name]> } = {
  "sub level": subLevel,
};
