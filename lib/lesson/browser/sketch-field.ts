/** A curve to be drawn where no figure stands yet: with the pointer, or point by point with the arrow keys. */
import { type SketchQuestion, withUnit } from "../guesses/question";
import { element } from "./element";

/** The field, and what is drawn in it: nothing before it has been touched. */
export interface SketchField {
  readonly field: HTMLElement;
  readonly drawn: () => readonly number[] | undefined;
}

const height = 260;
/** Width of a letter, about, pixels. */
const letter = 7;
const margin = { left: 46, right: 24, top: 14, bottom: 30 };

/** @param question  its points, and how far they may be moved */
export function sketchField(question: SketchQuestion): SketchField {
  const { points, low, high, step, unit } = question;
  const values = points.map(() => Math.min(Math.max(0, low), high));
  let touched = false;
  let width = 640;
  const field = element("div", "", { className: "evenground-sketch" });
  const plot = element("div", "", { role: "group", ariaLabel: "Your curve" });
  const picture = svg("svg", { height, "aria-hidden": "true" });
  const frame = svg("g", {});
  const curve = svg("polyline", { fill: "none", stroke: "currentColor", "stroke-width": 2.5 });
  const dots = points.map(() => svg("circle", { r: 8, fill: "currentColor" }));
  // Each point is a slider of its own to keys and screen readers; its dot is what one sees of it.
  const sliders = points.map(({ name }, i) => {
    const slider = element("input", "", { type: "range", ariaLabel: name });
    Object.assign(slider, { min: low, max: high, step });
    slider.addEventListener("input", () => move(i, Number(slider.value)));
    slider.addEventListener("focus", () => dots[i].setAttribute("data-focus", ""));
    slider.addEventListener("blur", () => dots[i].removeAttribute("data-focus"));
    return slider;
  });
  picture.append(frame, curve, ...dots);
  plot.append(picture, ...sliders);
  field.append(
    element(
      "p",
      "Draw the curve with the pointer; or reach a point with Tab and move it with the arrow keys.",
    ),
    plot,
  );

  const along = (x: number) => (question.log ? Math.log(x) : x);
  const [first, last] = [along(points[0].x), along(points[points.length - 1].x)];
  const across = (i: number) =>
    margin.left + ((along(points[i].x) - first) / (last - first)) * (width - margin.left - margin.right);
  const inside = height - margin.top - margin.bottom;
  const up = (value: number) => margin.top + ((high - value) / (high - low)) * inside;

  const redraw = () => {
    picture.setAttribute("viewBox", `0 0 ${width} ${height}`);
    picture.setAttribute("width", String(width));
    curve.setAttribute("points", values.map((value, i) => `${across(i)},${up(value)}`).join(" "));
    values.forEach((value, i) => {
      dots[i].setAttribute("cx", String(across(i)));
      dots[i].setAttribute("cy", String(up(value)));
      sliders[i].style.left = `${across(i)}px`;
      sliders[i].value = String(value);
      sliders[i].setAttribute("aria-valuetext", withUnit(value, unit));
    });
    const lines = [];
    for (let value = low; value <= high; value += question.tick)
      lines.push(
        svg("line", {
          x1: margin.left,
          x2: width - margin.right,
          y1: up(value),
          y2: up(value),
          stroke: "currentColor",
          "stroke-opacity": value === 0 ? 0.8 : 0.25,
        }),
        text(withUnit(value, ""), margin.left - 8, up(value) + 5, "end"),
      );
    lines.push(text(unit, 2, margin.top + 5, "start"));
    // A name that would run into the one before it is left out: the slider says it.
    let free = 0;
    points.forEach(({ name }, i) => {
      const half = (letter * name.length) / 2;
      if (across(i) - half < free) return;
      free = across(i) + half + letter;
      lines.push(text(name, across(i), height - 8, "middle"));
    });
    frame.replaceChildren(...lines);
  };
  const move = (i: number, value: number) => {
    touched = true;
    const steps = Math.round((Math.min(Math.max(value, low), high) - low) / step);
    values[i] = low + steps * step;
    redraw();
  };

  const follow = (event: PointerEvent) => {
    const box = picture.getBoundingClientRect();
    const x = ((event.clientX - box.left) / box.width) * width;
    const y = ((event.clientY - box.top) / box.height) * height;
    const distances = points.map((_, i) => Math.abs(across(i) - x));
    move(distances.indexOf(Math.min(...distances)), high - ((y - margin.top) / inside) * (high - low));
  };
  picture.addEventListener("pointerdown", (event) => {
    event.preventDefault();
    picture.setPointerCapture(event.pointerId);
    follow(event);
  });
  picture.addEventListener("pointermove", (event) => {
    if (picture.hasPointerCapture(event.pointerId)) follow(event);
  });
  new ResizeObserver(() => {
    const now = Math.min(640, field.clientWidth);
    if (now === 0 || now === width) return;
    width = now;
    redraw();
  }).observe(field);
  redraw();
  return { field, drawn: () => (touched ? [...values] : undefined) };
}

function svg<Name extends keyof SVGElementTagNameMap>(
  name: Name,
  attributes: { readonly [attribute: string]: string | number },
): SVGElementTagNameMap[Name] {
  const made = document.createElementNS("http://www.w3.org/2000/svg", name);
  for (const [attribute, value] of Object.entries(attributes)) made.setAttribute(attribute, String(value));
  return made;
}

function text(words: string, x: number, y: number, anchor: string): SVGTextElement {
  const made = svg("text", { x, y, "text-anchor": anchor, fill: "currentColor", "font-size": 13 });
  made.textContent = words;
  return made;
}
