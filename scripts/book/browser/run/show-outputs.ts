/** Outputs of a run below their cell. What is shown comes from cells that the reader ran, and may run scripts as they may. */
import { joined, type Output } from "../../../notebook/format";

export function showOutputs(place: HTMLElement, outputs: readonly Output[]): void {
  place.replaceChildren(...outputs.map(element));
}

function element({ output_type: type, name, text, data = {} }: Output): HTMLElement {
  const html = data["text/html"] ?? data["image/svg+xml"];
  if (html) {
    const shown = block("div", "shown");
    // Scripts of a fragment that is made so run once it stands in the page.
    shown.append(document.createRange().createContextualFragment(joined(html)));
    return shown;
  }
  const picture = ["image/png", "image/jpeg"].find((one) => data[one]);
  if (picture) {
    const shown = block("div", "shown");
    const image = document.createElement("img");
    image.alt = "";
    image.src = `data:${picture};base64,${joined(data[picture]).trim()}`;
    shown.append(image);
    return shown;
  }
  const said = block("pre", type === "stream" && name === "stderr" ? "said error" : "said");
  said.tabIndex = 0;
  said.textContent = joined(text ?? Object.values(data)[0]);
  return said;
}

function block(tag: string, className: string): HTMLElement {
  const made = document.createElement(tag);
  made.className = className;
  return made;
}
