/** Letters in figures that a reader would miss: cut off at the drawing's edge, or lying on one another. */
import type { Page } from "playwright-core";

/** Pixels that may be missing or shared: the box of a text is larger than its letters. */
const slack = { edge: 3, across: 3, up: 6 };

/** @param within  which of the page's elements are looked at */
export function spoiltLabels(page: Page, within = "body"): Promise<string[]> {
  return page.evaluate(
    ({ edge, across, up, within }) => {
      const positions = Array.from(
        document.querySelectorAll(`${within} .plot-container`),
        (one) => one.parentElement!,
      );
      return positions.flatMap((position) => {
        const room = position.getBoundingClientRect();
        const texts = Array.from(position.querySelectorAll(".main-svg text"))
          // Letters beside the marks of a scatter stand where its values stand.
          .filter((text) => !text.closest(".textpoint") && text.textContent?.trim())
          .map((text) => ({ words: text.textContent, box: text.getBoundingClientRect() }))
          .filter(({ box }) => box.width > 0);
        const name = position.closest("figure")?.querySelector("figcaption")?.textContent;
        const cut = texts
          .filter(({ box }) => {
            const beyond = [room.left - box.left, box.right - room.right, room.top - box.top];
            return Math.max(...beyond, box.bottom - room.bottom) > edge;
          })
          .map(({ words }) => `${name}: "${words}" is cut off`);
        const covered = texts.flatMap((a, i) =>
          texts
            .slice(0, i)
            .filter(
              (b) =>
                Math.min(a.box.right, b.box.right) - Math.max(a.box.left, b.box.left) > across &&
                Math.min(a.box.bottom, b.box.bottom) - Math.max(a.box.top, b.box.top) > up,
            )
            .map((b) => `${name}: "${a.words}" lies on "${b.words}"`),
        );
        return [...cut, ...covered];
      });
    },
    { ...slack, within },
  );
}
