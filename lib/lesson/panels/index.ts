import { kinds, type PanelData, type PanelName } from "./kinds";
import { type Panel, panelHtml, type SliderValues } from "./panel";

export type { PanelData, PanelName } from "./kinds";
export type { Panel, Slider, SliderValues, View } from "./panel";

/**
 * A live panel.
 *
 * @param name  its kind
 * @param data  what it is about
 * @param start  values of sliders that shall not start at their usual place
 * @returns something to `show`
 * @throws RangeError when there is no such kind, or its data or starting values make no sense
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
