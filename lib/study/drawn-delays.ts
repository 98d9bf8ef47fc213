/**
 * Each delay beside the one that the drawing lets expect, and what stands out: labels swapped, a microphone that stands elsewhere.
 *
 * The drawing gives the time of flight from the nearest loudspeaker; what the processing adds is not in it, but is alike at all
 * positions, and so is the median of what is left.
 */
import { speedOfSound } from "../acoustics/distance/air";
import { distance, type Point } from "../acoustics/point";
import { median } from "../numeric/statistics";
import type { Venue } from "../venue/venue";
import type { FoundDelay, Playing } from "./measure-take";

/** Seconds: two metres from where it was drawn. */
const ASTRAY = 0.006;

/**
 * Delays with the expected ones.
 *
 * @param venue   what was drawn
 * @param delays  found; those of the subs are left as they are, for a narrow band tells them too coarsely
 */
export function withExpected(venue: Venue, delays: readonly FoundDelay[]): FoundDelay[] {
  const rest = new Map<Playing, number>();
  for (const playing of ["mains", "both"] as const) {
    const flights = delays.filter((d) => d.playing === playing);
    if (flights.length < 2) continue;
    rest.set(playing, median(flights.map((d) => d.result.chosen.time - flight(venue, d.position))));
  }
  return delays.map((d) => {
    const added = rest.get(d.playing);
    return added === undefined ? d : { ...d, expected: flight(venue, d.position) + added };
  });
}

const flight = (venue: Venue, position: string): number =>
  flightTo(venue, venue.positions.find((p) => p.id === position)!.point);

/** Seconds from the nearest of the mains (or a fill) to a place, with the delay that the venue file gives it. */
export function flightTo(venue: Venue, at: Point): number {
  const speed = speedOfSound(venue.air.temperature);
  return Math.min(
    ...venue.sources
      .filter((source) => source.group !== "subs")
      .map((source) => distance(source.point, at) / speed + source.delay),
  );
}

/**
 * What the delays and the drawing don't agree on, one sentence each.
 *
 * @param venue   what was drawn
 * @param delays  found
 */
export function astray(venue: Venue, delays: readonly FoundDelay[]): string[] {
  const told = new Set<string>();
  return (["mains", "both"] as const).flatMap((playing) => {
    const heard = delays.filter((d) => d.playing === playing);
    if (heard.length < 2) return [];
    const named = assigned(venue, heard);
    return heard.flatMap(({ position, result }, i) => {
      const other = named.labels[i];
      if (told.has(position)) return [];
      const ms = (time: number) => `${(1000 * time).toFixed(1)} ms`;
      const expected = flight(venue, position) + named.rest;
      const off = result.chosen.time - expected;
      if (Math.abs(off) < ASTRAY) return [];
      told.add(position);
      const fact = `position "${position}": the sound of the ${playing === "both" ? "whole system" : "mains"} arrives at ${ms(result.chosen.time)}, where ${ms(expected)} is expected from the drawing`;
      return other === position
        ? [
            `${fact}, ${(343 * Math.abs(off)).toFixed(0)} m ${off > 0 ? "farther" : "nearer"}; compare channel, label and drawing`,
          ]
        : [`${fact}, and where "${other}" is drawn it would fit; the labels are likely swapped`];
    });
  });
}

/** Which position each microphone likely stood at, and what the processing adds: labels are exchanged in pairs while that helps a lot. */
function assigned(venue: Venue, heard: readonly FoundDelay[]): { labels: string[]; rest: number } {
  const times = heard.map((d) => d.result.chosen.time);
  let labels = heard.map((d) => d.position);
  let best = misfit(venue, times, labels);
  for (;;) {
    let better: { labels: string[]; sum: number; rest: number } | undefined;
    for (let i = 0; i < labels.length; i++) {
      for (let j = 0; j < i; j++) {
        const swapped = labels.slice();
        [swapped[i], swapped[j]] = [swapped[j], swapped[i]];
        const tried = { labels: swapped, ...misfit(venue, times, swapped) };
        if (!better || tried.sum < better.sum) better = tried;
      }
    }
    if (!better || better.sum > best.sum - 2 * ASTRAY) return { labels, rest: best.rest };
    labels = better.labels;
    best = better;
  }
}

function misfit(
  venue: Venue,
  times: readonly number[],
  labels: readonly string[],
): { sum: number; rest: number } {
  const left = times.map((time, i) => time - flight(venue, labels[i]));
  const rest = median(left);
  return { sum: left.reduce((sum, x) => sum + Math.abs(x - rest), 0), rest };
}

/**
 * What has changed between the takes of the mains and of both, by when the mains arrive in each: one sentence each.
 *
 * Where all of them come earlier or later in proportion to their flight, the air was warmer or colder: sound gains 0.17 % per °C.
 */
export function changedBetween(venue: Venue, delays: readonly FoundDelay[]): string[] {
  const pairs = delays.flatMap((d) => {
    const both = delays.find((e) => e.playing === "both" && e.position === d.position);
    if (d.playing !== "mains" || !both || d.result.manual || both.result.manual) return [];
    const change = both.result.chosen.time - d.result.chosen.time;
    return [{ position: d.position, change, flight: flight(venue, d.position) }];
  });
  if (pairs.length < 3) return [];
  const slope = median(pairs.map((p) => p.change / p.flight));
  const common = median(pairs.map((p) => p.change));
  const unexplained = (rest: (p: (typeof pairs)[number]) => number) =>
    median(pairs.map((p) => Math.abs(rest(p))));
  const asTemperature = unexplained((p) => p.change - slope * p.flight);
  const asStart = unexplained((p) => p.change - common);
  if (
    Math.abs(common) > 1e-4 &&
    Math.abs(slope) < 0.03 &&
    asTemperature < 0.5 * asStart &&
    asTemperature < 1e-4
  ) {
    // Speed of sound goes with the square root of the absolute temperature.
    const degrees = -slope * 2 * (273.15 + venue.air.temperature);
    return [
      `between the takes of the mains and of both the air became ${Math.abs(degrees).toFixed(0)} °C ${degrees > 0 ? "warmer" : "colder"}: all arrive ${(100 * Math.abs(slope)).toFixed(1)} % ${degrees > 0 ? "earlier" : "later"}; give each take its "temperature", or measure all at one`,
    ];
  }
  const start =
    Math.abs(common) > 5e-4
      ? [
          `all arrive ${(1000 * Math.abs(common)).toFixed(1)} ms ${common > 0 ? "later" : "earlier"} in the take of both than in that of the mains: the start of the recording or a delay differs; record the reference on a channel beside the microphones`,
        ]
      : [];
  const moved = pairs.flatMap((p) => {
    const off = p.change - common;
    return Math.abs(off) > 7e-4 && Math.abs(off) < ASTRAY
      ? [
          `position "${p.position}": the mains arrive ${(1000 * Math.abs(off)).toFixed(1)} ms ${off > 0 ? "later" : "earlier"} in the take of both than alone; the microphone has likely moved by ${(343 * Math.abs(off)).toFixed(1)} m or more`,
        ]
      : [];
  });
  return [...start, ...(moved.length <= pairs.length / 2 ? moved : [])];
}
