/** Where each microphone stood: by its file's name where that names a position, else by its delay beside the drawing. */
import { median } from "../../lib/numeric/statistics";
import { flightTo } from "../../lib/study/drawn-delays";
import type { Venue } from "../../lib/venue/venue";

export interface Placed {
  readonly position?: string;
  /** What the drawing lets expect there, seconds, with what is added alike at all positions. */
  readonly expected?: number;
}

export interface Placing {
  readonly microphones: readonly Placed[];
  /** What is added alike to all flights, seconds; absent without a drawing. */
  readonly rest?: number;
}

/**
 * @param microphones  name of the file, and delay after what was sent, seconds
 * @param venue        without one, positions are numbered from the front by their delays
 * @param known        what is added alike to all flights, seconds, where other microphones have told it
 */
export function placeByDelay(
  microphones: readonly { readonly label: string; readonly delay: number | undefined }[],
  venue?: Venue,
  known?: number,
): Placing {
  const timed = [...microphones.keys()]
    .filter((i) => microphones[i].delay !== undefined)
    .sort((a, b) => microphones[a].delay! - microphones[b].delay!);
  if (!venue) {
    const width = String(microphones.length).length;
    const position = (i: number) => `position ${String(timed.indexOf(i) + 1).padStart(width, "0")}`;
    return { microphones: microphones.map((_, i) => (timed.includes(i) ? { position: position(i) } : {})) };
  }
  const flights = venue.positions.map(({ id, point }) => ({ id, flight: flightTo(venue, point) }));
  const named = microphones.map(({ label }) => flights.find(({ id }) => names(label, id))?.id);
  const ids =
    named.every((id) => id !== undefined) && new Set(named).size === named.length ? named : inOrder();
  const own = timed.filter((i) => ids[i]).map((i) => microphones[i].delay! - flightOf(ids[i]!));
  const rest = known ?? (own.length ? median(own) : undefined);
  const placed = ids.map((id) =>
    id === undefined ? {} : { position: id, ...(rest !== undefined && { expected: flightOf(id) + rest }) },
  );
  return { microphones: placed, ...(rest !== undefined && { rest }) };

  function flightOf(id: string): number {
    return flights.find((f) => f.id === id)!.flight;
  }

  /**
   * Later microphones stood farther away. Which positions were used, and what the processing adds, is where the two fit best.
   */
  function inOrder(): (string | undefined)[] {
    const far = [...flights].sort((a, b) => a.flight - b.flight);
    const delays = timed.map((i) => microphones[i].delay!);
    const result: (string | undefined)[] = microphones.map(() => undefined);
    const tries =
      known !== undefined && delays.length <= far.length
        ? [known]
        : delays.length > far.length
          ? []
          : delays.flatMap((delay) => far.map(({ flight }) => delay - flight));
    const best = tries
      .filter((rest) => rest > -0.02)
      .map((rest) =>
        leastDifference(
          delays,
          far.map(({ flight }) => flight + rest),
        ),
      )
      .sort((a, b) => a.cost - b.cost)[0];
    best?.chosen.forEach((k, i) => {
      result[timed[i]] = far[k].id;
    });
    return result;
  }
}

/**
 * Names of microphones that were moved: who stands where one stood before, and not quite there, is a point around that position.
 *
 * @param placed  position by the delay, and which channel and delay it is
 * @param before  what stood where with others of the microphones' standings
 * @param venue   without one, a microphone that moved by a metre at most stands around where it stood, and others are numbered on
 */
export function asPoints(
  placed: readonly { readonly position?: string; readonly channel: number; readonly delay?: number }[],
  before: readonly { readonly position: string; readonly channel: number; readonly delay?: number }[],
  venue?: Venue,
): (string | undefined)[] {
  const used = new Set(before.map(({ position }) => position));
  const next = (position: string): string => {
    let name = position;
    for (let k = 2; used.has(name); k++) name = `${position}/${k}`;
    used.add(name);
    return name;
  };
  if (venue || before.length === 0)
    return placed.map(({ position }) => (position === undefined ? undefined : next(position)));
  let count = new Set(before.map(({ position }) => baseOf(position))).size;
  return placed.map(({ position, channel, delay }) => {
    if (position === undefined) return undefined;
    const stood = before.find((b) => b.channel === channel);
    const moved =
      stood?.delay === undefined || delay === undefined ? Infinity : Math.abs(delay - stood.delay);
    return next(stood && moved < A_METRE ? baseOf(stood.position) : `position ${++count}`);
  });
}

/** "mix position/2" is a point around "mix position". */
export const baseOf = (name: string): string => name.replace(/\/\d+$/, "");

/** Seconds. */
const A_METRE = 0.003;

/** Each of the delays to one of the expected times, in order, with the least sum of differences. */
function leastDifference(
  delays: readonly number[],
  expected: readonly number[],
): { cost: number; chosen: number[] } {
  let last = expected.map(() => ({ cost: 0, chosen: [] as number[] }));
  delays.forEach((delay, i) => {
    const next: typeof last = [];
    let best: (typeof last)[number] | undefined = i === 0 ? { cost: 0, chosen: [] } : undefined;
    expected.forEach((time, k) => {
      if (i > 0 && k > 0 && (!best || last[k - 1].cost < best.cost)) best = last[k - 1];
      const before = best ?? { cost: Number.POSITIVE_INFINITY, chosen: [] };
      next.push({ cost: before.cost + Math.abs(delay - time), chosen: [...before.chosen, k] });
    });
    last = next;
  });
  return last.reduce((a, b) => (b.cost < a.cost ? b : a));
}

/** Whether a file's name has all words of a position's in it. */
function names(file: string, id: string): boolean {
  const words = (text: string) => text.toLowerCase().match(/\p{L}+|\d+/gu) ?? [];
  const [there, wanted] = [` ${words(file).join(" ")} `, ` ${words(id).join(" ")} `];
  return wanted.trim() !== "" && there.includes(wanted);
}
