/** Live panels moved as a reader moves them, and held against what the library says of the same setting. */
import type { Locator, Page } from "playwright-core";
import { expect } from "vitest";
import { unpack } from "../../lib/lesson/output/pack";
import { kinds, type PanelName } from "../../lib/lesson/panels/kinds";
import type { PanelContent, SliderValues, View } from "../../lib/lesson/panels/panel";

export interface PanelInPage {
  readonly piece: Locator;
  readonly sliders: number;
  /** What the library says, computed here and not in the page. */
  readonly view: (positions: readonly number[]) => View;
}

export async function panelsOf(page: Page): Promise<PanelInPage[]> {
  const pieces = await page.locator("figure.evenground", { has: page.locator("input[type=range]") }).all();
  return Promise.all(
    pieces.map(async (piece) => {
      const name = (await piece.getAttribute("data-kind")) as PanelName;
      const text = await piece.locator('script[type="application/json"]').textContent();
      const { data, sliders } = unpack<PanelContent<never>>(text ?? "");
      const prepared = (kinds[name].prepare as (data: never) => (values: SliderValues) => View)(data);
      const view = (positions: readonly number[]) =>
        prepared(Object.fromEntries(sliders.map((slider, i) => [slider.name, positions[i]])));
      return { piece, sliders: sliders.length, view };
    }),
  );
}

/** Drags the slider's thumb to the quarter of its way that is farther off. */
export async function moveByMouse(panel: PanelInPage, slider: number): Promise<void> {
  await moves(panel, slider, async (input, { min, max, value }) => {
    await input.scrollIntoViewIfNeeded();
    const box = await input.boundingBox();
    if (!box) throw new Error("the slider has no place in the page");
    const thumb = 16;
    const at = (fraction: number) => box.x + thumb / 2 + fraction * (box.width - thumb);
    const fraction = (value - min) / (max - min);
    const target = fraction > 0.5 ? 0.25 : 0.75;
    const { mouse } = input.page();
    await mouse.move(at(fraction), box.y + box.height / 2);
    await mouse.down();
    await mouse.move(at((fraction + target) / 2), box.y + box.height / 2);
    await mouse.move(at(target), box.y + box.height / 2);
    await mouse.up();
    return { from: min + (target - 0.05) * (max - min), to: min + (target + 0.05) * (max - min) };
  });
}

/** Four steps by the arrow keys, toward the middle. */
export async function moveByKeyboard(panel: PanelInPage, slider: number): Promise<void> {
  await moves(panel, slider, async (input, { min, max, step, value }) => {
    const way = value > (min + max) / 2 ? -1 : 1;
    const steps = Math.max(1, Math.min(4, Math.floor((max - min) / step / 2)));
    await input.focus();
    for (let i = 0; i < steps; i++) await input.press(way > 0 ? "ArrowRight" : "ArrowLeft");
    const wanted = value + way * steps * step;
    return { from: wanted - step / 100, to: wanted + step / 100 };
  });
}

async function moves(
  { piece, view }: PanelInPage,
  slider: number,
  move: (
    input: Locator,
    at: { min: number; max: number; step: number; value: number },
  ) => Promise<{ from: number; to: number }>,
): Promise<void> {
  const input = piece.locator("input[type=range]").nth(slider);
  const { label, ...at } = await input.evaluate((element) => {
    const { min, max, step, value, labels } = element as HTMLInputElement;
    return { min: +min, max: +max, step: +step, value: +value, label: labels?.[0]?.textContent ?? "" };
  });
  const before = await drawing(piece);
  const { from, to } = await move(input, at);
  const wide = at.step / 2;
  const value = Number(await input.inputValue());
  expect(value, label).not.toBe(at.value);
  expect(value, label).toBeGreaterThanOrEqual(from - wide);
  expect(value, label).toBeLessThanOrEqual(to + wide);
  await expect
    .poll(() => drawing(piece), { timeout: 10_000, message: `${label} moves the drawing` })
    .not.toBe(before);

  const positions = await piece
    .locator("input[type=range]")
    .evaluateAll((all) => all.map((one) => Number((one as HTMLInputElement).value)));
  const { words, figures } = view(positions);
  const drawn = piece.locator(".evenground-figures > .evenground-drawing");
  const told = () => drawn.evaluateAll((all) => all.map((one) => one.getAttribute("aria-label")));
  await expect.poll(() => piece.locator(".evenground-words").textContent()).toBe(words);
  await expect.poll(told).toEqual(figures.map(({ title, alt }) => `${title}. ${alt}`));
}

/** What its drawings look like at the moment: shapes, places, colours and letters; not the words around them. */
const drawing = (piece: Locator): Promise<string> =>
  piece.evaluate((element) =>
    Array.from(
      element.querySelectorAll<SVGElement>("svg.main-svg path, svg.main-svg text, svg.main-svg image"),
    )
      .map((one) => [
        one.getAttribute("d") ?? one.getAttribute("href")?.slice(-80) ?? one.textContent,
        one.getAttribute("transform"),
        one.style.fill,
      ])
      .join("|"),
  );
