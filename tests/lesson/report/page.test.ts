/** What every page has, whatever it says: states told three ways, numbers beside their units, text that stays text. */
import { expect, test } from "vitest";
import { badge } from "../../../lib/lesson/report/badge";
import { keepUnits } from "../../../lib/lesson/report/keep-units";
import { pageHtml } from "../../../lib/lesson/report/page";

const states = ["fit for use", "use with care", "measure again"] as const;

test("the three states differ in word, shape and colour", () => {
  const badges = states.map((state) => badge({ state, why: "Why." }));
  const each = (pattern: RegExp) => badges.map((html) => pattern.exec(html)![1]);
  expect(each(/<strong>(.*?)\.<\/strong>/)).toEqual(["Fit for use", "Use with care", "Measure again"]);
  expect(new Set(each(/<svg[^>]*>(<\w+)/)).size).toBe(3);
  const style = pageHtml({ title: "", subtitle: "", inShort: [], sections: [], foot: [] });
  const colours = each(/class="badge (\w+)"/).map((name) => style.match(new RegExp(`--${name}: #\\w+`, "g")));
  for (const theme of [0, 1, 2]) expect(new Set(colours.map((c) => c![theme].slice(-7))).size).toBe(3);
});

test("no line breaks between a number and its unit, and nothing else changes", () => {
  expect(keepUnits("<p>58 % at 40 Hz, 3 dB, 2.5 ms, 17 m, 21 °C and 2 kHz</p>")).toBe(
    "<p>58\u00a0% at 40\u00a0Hz, 3\u00a0dB, 2.5\u00a0ms, 17\u00a0m, 21\u00a0°C and 2\u00a0kHz</p>",
  );
  for (const html of [
    "<p>6 measured positions, 3 dBm</p>",
    '<p title="58 %">six %</p>',
    '<script type="application/json">{"a":"58 %"}</script>',
  ])
    expect(keepUnits(html)).toBe(html);
});

test("text in every part of a page stays text", () => {
  const hostile = "<b>58 %</b>";
  const html = pageHtml({
    title: hostile,
    subtitle: `${hostile} · ${hostile}`,
    fitness: { state: "fit for use", why: hostile },
    inShort: [
      { fact: hostile, of: hostile, means: hostile },
      { columns: [[hostile, { heading: hostile }], [{ blanks: [hostile] }]] },
    ],
    sections: [{ heading: hostile, parts: [{ list: [hostile] }] }],
    foot: [hostile],
  });
  expect(html).not.toContain("<b>");
  expect(html.match(/&#60;b&#62;/g)).toHaveLength(14);
});
