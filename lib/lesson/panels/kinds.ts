/** All kinds of panel, by the names that `panel` takes. */
import { type BoundaryContent, type BoundaryData, boundary } from "./boundary";
import { type CertaintyContent, type CertaintyData, certainty } from "./certainty";
import { type CrossoverContent, type CrossoverData, crossover } from "./crossover";
import { type DipContent, type DipData, dip } from "./dip";
import { type DistanceContent, type DistanceData, levelByDistance } from "./distance";
import { type DriftContent, type DriftData, drift } from "./drift";
import { type MicrophonesContent, type MicrophonesData, microphones } from "./microphones";
import { type MixPositionContent, type MixPositionData, mixPosition } from "./mix-position";
import type { PanelKind } from "./panel";
import { type RoomContent, type RoomData, room } from "./room";
import { type SubLayoutData, subLayout } from "./sub-layout";
import { type SubLevelContent, type SubLevelData, subLevel } from "./sub-level";
import { type SubLineContent, type SubLineData, subLine } from "./sub-line";

/** The data of each kind. */
export interface PanelData {
  readonly "sub level": SubLevelData;
  readonly distance: DistanceData;
  readonly drift: DriftData;
  readonly boundary: BoundaryData;
  readonly dip: DipData;
  readonly room: RoomData;
  readonly certainty: CertaintyData;
  readonly crossover: CrossoverData;
  readonly microphones: MicrophonesData;
  readonly "mix position": MixPositionData;
  readonly "sub layout": SubLayoutData;
  readonly "sub line": SubLineData;
}

/** What the page gets of each. */
export interface PanelContents {
  readonly "sub level": SubLevelContent;
  readonly distance: DistanceContent;
  readonly drift: DriftContent;
  readonly boundary: BoundaryContent;
  readonly dip: DipContent;
  readonly room: RoomContent;
  readonly certainty: CertaintyContent;
  readonly crossover: CrossoverContent;
  readonly microphones: MicrophonesContent;
  readonly "mix position": MixPositionContent;
  readonly "sub layout": SubLayoutData;
  readonly "sub line": SubLineContent;
}

export type PanelName = keyof PanelData;

export const kinds: { readonly [name in PanelName]: PanelKind<PanelData[name], PanelContents[name]> } = {
  "sub level": subLevel,
  distance: levelByDistance,
  drift,
  boundary,
  dip,
  room,
  certainty,
  crossover,
  microphones,
  "mix position": mixPosition,
  "sub layout": subLayout,
  "sub line": subLine,
};
