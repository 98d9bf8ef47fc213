/** The automated accessibility check, axe-core, on a page as it stands. */
import { readFileSync } from "node:fs";
import type { Page } from "playwright-core";

const axe = readFileSync(require.resolve("axe-core/axe.min.js"), "utf8");

/** Findings called serious or critical: rule, and the first elements that break it. */
export async function seriousFindings(page: Page): Promise<string[]> {
  if (!(await page.evaluate(() => "axe" in window))) await page.evaluate(axe);
  return page.evaluate(async () => {
    // What a page does when its width has changed comes before the second frame.
    for (let i = 0; i < 2; i++) await new Promise(requestAnimationFrame);
    const { axe } = window as unknown as { axe: typeof import("axe-core") };
    const { violations, passes } = await axe.run(document, {
      resultTypes: ["violations"],
      // It would read the style sheets a second time, which a page from disk may not.
      preload: false,
    });
    if (passes.length === 0) throw new Error("the check found nothing to look at");
    return violations
      .filter(({ impact }) => impact === "serious" || impact === "critical")
      .map(
        ({ id, nodes }) =>
          `${id}: ${nodes
            .slice(0, 3)
            .map(({ html }) => html.slice(0, 160))
            .join(" | ")}`,
      );
  });
}
