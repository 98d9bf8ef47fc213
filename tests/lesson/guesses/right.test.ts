/**
 * Right choices that no cell passes, computed by the library as the lessons' cells do: one that has gone stale with a venue
 * or a rule is found here. The formulae behind them have checks of their own, by other sources.
 */
import { expect, it } from "vitest";
import type { Filter } from "../../../lib/acoustics/filters/filter";
import { questions } from "../../../lib/lesson/guesses/questions";
import * as acoustics from "../../../lib/public/acoustics";
import * as decide from "../../../lib/public/decide";
import * as predict from "../../../lib/public/predict";
import * as read from "../../../lib/public/read";
import * as venues from "../../../lib/public/venues";
import type { Room } from "../../../lib/venue/venue";

/** The right one of those that `value` makes largest, by choice. */
const largest = (value: { readonly [choice: string]: number }) =>
  Object.entries(value).reduce((best, next) => (next[1] > best[1] ? next : best))[0];

/** Lowpass and highpass at 90 Hz. */
const pair = (filter: (type: "lowpass" | "highpass") => Filter, frequency: Float64Array) =>
  (["lowpass", "highpass"] as const).map((type) => acoustics.filters.response(filter(type), frequency));
const linkwitzRiley = (order: 2 | 4) => (type: "lowpass" | "highpass") =>
  ({ kind: "linkwitz-riley", type, order, frequency: 90 }) as const;
const butterworth = (type: "lowpass" | "highpass") =>
  ({ kind: "butterworth", type, order: 4, frequency: 90 }) as const;

/** How far the sum of a pair is from flat, dB, below zero. */
function flatness(filter: (type: "lowpass" | "highpass") => Filter): number {
  const [low, high] = pair(filter, Float64Array.from(acoustics.bands.grid(30, 300, 60)));
  return -Math.max(
    ...Array.from(low.re, (x, i) =>
      Math.abs(20 * Math.log10(Math.hypot(x + high.re[i], low.im[i] + high.im[i]))),
    ),
  );
}

it("filters: which pair sums flat, and what the mains wait for", () => {
  expect(questions["06 flat"].right).toBe(
    largest({
      "Linkwitz–Riley, order 4": flatness(linkwitzRiley(4)),
      "Butterworth, order 4": flatness(butterworth),
      "Linkwitz–Riley, order 2": flatness(linkwitzRiley(2)),
    }),
  );
  const [low, high] = pair(linkwitzRiley(4), Float64Array.of(40, 90, 200));
  const apart = Array.from(low.re, (x, i) =>
    Math.abs(Math.atan2(low.im[i] * high.re[i] - x * high.im[i], x * high.re[i] + low.im[i] * high.im[i])),
  );
  expect(questions["06 late"].right).toBe(Math.max(...apart) < 1e-6 ? "not wait" : "wait less");
});

it("the room: Sabine and Eyring, whose bass rings longest, where the Schroeder frequency lies", () => {
  const differs = [0.05, 0.2, 0.5, 0.8].find(
    (absorption) =>
      acoustics.room.sabine(5000, 2000 * absorption) > 1.1 * acoustics.room.eyring(5000, 2000, absorption),
  );
  expect(questions["08 eyring"].right).toBe(String(differs));

  const rooms = [
    "ombrik-cellar",
    "pennavoe-assembly-hall",
    "harbour-theatre",
    "marrowby-long-ballroom",
    "ansgrith-church",
    "vollhaven-arena",
  ].map((name) => read.venue(name).room as Room);
  const at = (room: Room, f: number) => acoustics.bands.valueAt(room.reverberationTime, f);
  const longest = rooms.filter((room) => at(room, 63) > at(room, 1000)).length;
  expect(questions["08 bass longest"].right).toBe(
    ["none of the six", "one of the six", "two of the six", "three of the six"][longest],
  );

  const schroeder = (room: Room) => acoustics.room.schroeder(at(room, 63), room.volume);
  expect(questions["08 arena"].right).toBe(
    schroeder(rooms[5]) > schroeder(rooms[0]) ? "above the cellar's" : "below the cellar's",
  );
});

it("the level of the subs: what a rise does to each seat, whom the worst follows, what more tilt costs", () => {
  const hall = read.venue("pennavoe-assembly-hall");
  const survey = predict.survey(hall, venues.seats(hall, { count: 40 }));
  const [now, louder] = [0, 3].map((offset) => decide.balance(survey, { offset }).positions);
  const rises = now.map((seat, i) => louder[i].deviation_db - seat.deviation_db);
  const [least, most] = [Math.min(...rises), Math.max(...rises)];
  expect(questions["09 three"].right).toBe(
    most < 2
      ? "half of that"
      : most - least < 0.1
        ? "3 dB at every seat"
        : "some 3 dB, not the same everywhere",
  );

  const [six, nine] = [6, 9].map((targetTilt) => decide.offset(survey, { targetTilt }));
  const rise = nine.offset_db - six.offset_db;
  expect(questions["09 tilt"].right).toBe(
    rise < 2
      ? "much less than 3 dB"
      : nine.cost_db > six.cost_db + 0.3
        ? "3 dB, and less even"
        : "3 dB, as even as before",
  );
});

it("the ear: less of everything is less bass still", () => {
  const extra = acoustics.loudness.contour(70, 63) - 70 - (acoustics.loudness.contour(80, 63) - 80);
  expect(questions["09 softer"].right).toBe(extra > 1 ? "thinner" : extra < -1 ? "fuller" : "as before");
});
