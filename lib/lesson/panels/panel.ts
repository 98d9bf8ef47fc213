/**
 * A live panel: sliders, and a view that the library computes anew from their values.
 *
 * A kind of panel is one object. The kernel runs it once, so that a mistake in its data shows under the cell; the
 * browser runs the same object whenever a slider moves.
 */
import type { Figure } from "../figures/parts/figure";
import { piece } from "../output/figure-html";
import type { Showable } from "../output/showable";

/** A quantity that the reader sets. */
export interface Slider {
  /** The key of its value. */
  readonly name: string;
  /** What it sets, in words. */
  readonly label: string;
  /** Shown after the number; empty for a number alone. */
  readonly unit: string;
  readonly min: number;
  readonly max: number;
  readonly step: number;
  readonly value: number;
}

/** Where each slider stands, by its name. */
export type SliderValues = { readonly [name: string]: number };

/** What a panel shows for one setting. */
export interface View {
  /** What it comes to, in a sentence or two with numbers; the same for those who do not see the figures. */
  readonly words: string;
  readonly figures: readonly Figure[];
}

/** A kind of panel: how its data become what the page needs, sliders and views. */
export interface PanelKind<Data, Content> {
  /** Above the panel. */
  readonly title: string;
  readonly sliders: (content: Content) => readonly Slider[];
  /** As little as the page needs to compute every view; in the kernel. */
  readonly reduce: (data: Data) => Content;
  /**
   * Does once what all settings share; in the page.
   *
   * @returns the view of a setting
   */
  readonly prepare: (content: Content) => (values: SliderValues) => View;
}

/** What the page gets: its part of the data, and where the sliders stand at first. */
export interface PanelContent<Content> {
  readonly data: Content;
  readonly sliders: readonly Slider[];
}

/** A panel that can be shown. */
export interface Panel extends Showable {
  readonly title: string;
  /** The first view's words. */
  readonly alt: string;
}

/**
 * A panel of a kind, as HTML.
 *
 * @param name  the kind's name, by which the page finds it
 * @param kind  the kind
 * @param given  what it is about
 * @param start  values of sliders that shall not start at their usual place
 * @throws RangeError when a value lies outside its slider, and what the kind throws about its data
 */
export function panelHtml<Data, Content>(
  name: string,
  kind: PanelKind<Data, Content>,
  given: Data,
  start: SliderValues = {},
): Panel {
  const data = kind.reduce(given);
  const sliders = kind.sliders(data).map((slider) => placed(slider, start[slider.name] ?? slider.value));
  for (const key of Object.keys(start)) {
    if (!sliders.some((s) => s.name === key)) {
      throw new RangeError(
        `the panel "${name}" has no slider "${key}", it has ${sliders.map((s) => `"${s.name}"`).join(", ")}`,
      );
    }
  }
  const first = kind.prepare(data)(valuesOf(sliders));
  const content: PanelContent<Content> = { data, sliders };
  const html = piece(name, content, { title: kind.title, alt: first.words }, "panel");
  return { title: kind.title, alt: first.words, html };
}

/** The sliders' values by name. */
export const valuesOf = (sliders: readonly Slider[]): SliderValues =>
  Object.fromEntries(sliders.map((s) => [s.name, s.value]));

function placed(slider: Slider, value: number): Slider {
  if (!(value >= slider.min && value <= slider.max)) {
    throw new RangeError(
      `the slider "${slider.name}" is to start at ${value}, expected ${slider.min} to ${slider.max} ${slider.unit}`,
    );
  }
  return { ...slider, value };
}
