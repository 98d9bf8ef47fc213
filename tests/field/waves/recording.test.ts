import { readFileSync } from "node:fs";
import path from "node:path";
import { describe, expect, it } from "vitest";
import { logGrid } from "../../../lib/acoustics/bands/bands";
import { lowBand } from "../../../lib/field/waves/low-band";
import { readVenue } from "../../../lib/venue/file/read";
import { seats } from "../../../lib/venue/seats";
import type { Source } from "../../../lib/venue/venue";

const file = path.resolve(__dirname, "../../../data/venues/ombrik-cellar.json");
const cellar = readVenue(readFileSync(file, "utf8"), "cellar");
const places = seats(cellar, { count: 20 }).map((p) => p.point);
const frequency = logGrid(20, 150, 100);

/** Of the largest pressure: what a room still rings with when its recording ends, after half of its decay time, and a little. */
const LEFT = 1.1 * 10 ** (-30 / 20);

/** Superposition: sound is linear, whatever computes it. */
describe("sources that sound together at other times", () => {
  const [sub, , other] = cellar.sources.filter((s) => s.group === "subs");
  const heard = (sources: readonly Source[]) => {
    const at = lowBand(cellar, sources, frequency, places);
    return places.map((p) => at!(p)!);
  };
  it.each([
    ["20 ms later", 0, 0.02],
    ["40 ms later", 0, 0.04],
    ["80 ms later", 0.005, 0.085],
    ["the first 40 ms after the second", 0.04, 0],
  ])("are the sum of each by itself: %s", (_, first, second) => {
    const pair: Source[] = [
      { ...sub, delay: first },
      { ...(other ?? sub), delay: second },
    ];
    const together = heard(pair);
    const [a, b] = pair.map((s) => heard([s]));
    let most = 0;
    places.forEach((__, p) => {
      const largest = Math.max(...together[p].re.map((x, f) => Math.hypot(x, together[p].im[f])));
      together[p].re.forEach((x, f) => {
        const off = Math.hypot(x - a[p].re[f] - b[p].re[f], together[p].im[f] - a[p].im[f] - b[p].im[f]);
        most = Math.max(most, off / largest);
      });
    });
    expect(most).toBeLessThan(LEFT);
  });
});
