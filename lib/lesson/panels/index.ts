import { kinds, type PanelData, type PanelName } from "./kinds";
import { type Panel, panelHtml, type SliderValues } from "./panel";

export type { PanelData, PanelName } from "./kinds";
export type { Panel, Slider, SliderValues, View } from "./panel";

/**
 * A live panel: sliders, and figures that are computed anew while a slider moves.
 *
 * @param name  its kind, such as "distance", "room", "boundary", "dip", "sub layout", "sub level" or "mix position"
 * @param data  what it is about, by its kind: an empty object where all of it has a default
 * @param start  values of sliders that should not start at their usual value, by the slider's name, in its unit
 * @returns a panel, for `show`
 * @throws RangeError when there is no such kind or slider, its data make no sense, or a value lies outside its slider
 * @source own way, no outside source: its numbers are those of this library; check: tests/lesson/panels/panels.test.ts
 * @example
 * const cabinet = read.venue("ulverow-meadow").sources.find((s) => s.group === "subs");
 * show(panel("sub layout", { shape: "line", cabinet }, { count: 6, spacing: 2 }));
 */
export function panel<Name extends PanelName>(
  name: Name,
  data: PanelData[Name],
  start: SliderValues = {},
): Panel {
  if (!Object.hasOwn(kinds, name)) {
    throw new RangeError(
      `there is no panel "${name}", expected ${Object.keys(kinds)
        .map((k) => `"${k}"`)
        .join(", ")}`,
    );
  }
  return panelHtml(name, kinds[name], data, start);
}
