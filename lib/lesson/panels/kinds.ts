/** All kinds of panel, by the names that `panel` takes. */
import type { PanelKind } from "./panel";
import { type SubLevelData, subLevel } from "./subLevel";

/** The data of each kind. */
export interface PanelData {
  readonly "sub level": SubLevelData;
}

export type PanelName = keyof PanelData;

export const kinds: { readonly [name in PanelName]: PanelKind<PanelData[name]> } = {
  "sub level": subLevel,
};
