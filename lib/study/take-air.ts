/** The air in which a take was recorded, where its temperature was told: when sound would have arrived in the show's own air. */
import { type Air, atmosphericAbsorption, speedOfSound } from "../acoustics/distance/air";
import { distance } from "../acoustics/point";
import type { DelayResult } from "../measurement/delay/delay";
import type { Venue } from "../venue/venue";
import { positionOf } from "./position-of";
import type { RecordedTake } from "./show-file";

/**
 * How much later a take's sound would have arrived in the show's air, seconds; 0 where the take's temperature was not told.
 *
 * It is that of the straight path from the nearest of the loudspeakers. What a room returns is longer under way, and its resonances move
 * by 0.17 % per °C: that is not undone.
 */
export function laterInShowAir(venue: Venue, take: RecordedTake, position: string): number {
  if (take.temperature === undefined) return 0;
  const there = 1 / speedOfSound(venue.air.temperature) - 1 / speedOfSound(take.temperature);
  return there * nearest(venue, take, position);
}

/** The same delay in the show's air. */
export function delayedBy(result: DelayResult, seconds: number): DelayResult {
  if (seconds === 0) return result;
  const candidates = result.candidates.map((c) => ({ ...c, time: c.time + seconds }));
  return { ...result, candidates, chosen: { ...result.chosen, time: result.chosen.time + seconds } };
}

/** What is said of a take whose air was another one: by how much times were corrected, and what the air absorbs otherwise. */
export function airRemarks(venue: Venue, take: RecordedTake): string[] {
  const { temperature = venue.air.temperature, humidity = venue.air.relativeHumidity } = take;
  const ms = 1000 * largest(take, (position) => laterInShowAir(venue, take, position));
  const absorbs = (air: Air) => MID.reduce((sum, f) => sum + atmosphericAbsorption(f, air), 0) / MID.length;
  const own = absorbs({ ...venue.air, temperature, relativeHumidity: humidity }) - absorbs(venue.air);
  const db = take.playing === "subs" ? 0 : own * largest(take, (position) => nearest(venue, take, position));
  const told = [
    ...(Math.abs(ms) >= 0.05
      ? [`its arrivals count as up to ${Math.abs(ms).toFixed(1)} ms ${ms > 0 ? "later" : "earlier"}`]
      : []),
    ...(Math.abs(db) >= AUDIBLE
      ? [
          `at the farthest position it absorbs up to ${Math.abs(db).toFixed(1)} dB ${db > 0 ? "more" : "less"} of the mid band, which is left as it is`,
        ]
      : []),
  ];
  if (told.length === 0) return [];
  return [
    `recording "${take.recording}" was made in air of ${temperature} °C and ${humidity} %, and the show's has ${venue.air.temperature} °C and ${venue.air.relativeHumidity} %: ${told.join("; ")}`,
  ];
}

/** Hertz: the mid band's octaves. */
const MID = [500, 1000, 2000];
/** dB that nobody hears over seconds, and less than one sets by hand. */
const AUDIBLE = 0.3;

/** The value farthest from 0. */
const largest = (take: RecordedTake, of: (position: string) => number): number =>
  Object.keys(take.microphones).reduce((most, position) => {
    const value = of(position);
    return Math.abs(value) > Math.abs(most) ? value : most;
  }, 0);

/** Metres from the nearest loudspeaker that plays; of both, from the nearest of the mains, whose arrival counts. */
function nearest(venue: Venue, take: RecordedTake, name: string): number {
  const id = positionOf(name, venue.positions);
  const { point } = venue.positions.find((p) => p.id === id)!;
  const playing = venue.sources.filter((s) => (s.group === "subs") === (take.playing === "subs"));
  return Math.min(...playing.map((source) => distance(source.point, point)));
}
