/**
 * Which takes were made with the microphones at the same points: there each of them trails what was sent by the same time.
 *
 * Of subs alone no time can be told; at the same points they are as loud as before.
 */
import { median } from "../../lib/numeric/statistics";
import type { Track } from "./tracks";

/** A take as far as it matters here. */
export interface HeardTake {
  /** Microphones in the order of their channels. */
  readonly mics: readonly Track[];
  readonly sent?: Track;
  /** Seconds by which each trails what was sent, where that stands out. */
  readonly delays: ReadonlyMap<Track, number>;
  /** Whether mains play in it, whose delays can be told. */
  readonly hasTreble: boolean;
  readonly isSubs: boolean;
}

/** Seconds: half a metre's walk is 1.5 ms, a degree over 30 m is 0.15. */
const SAME = 3e-4;

/**
 * @param takes  in the order of their files
 * @returns for each take the number of its standing, from 0 in their order; takes of subs belong to those whose turn it is
 */
export function standingsOf(takes: readonly HeardTake[]): number[] {
  const first: number[] = [];
  const own = takes.map((take, i) => {
    if (!take.hasTreble) return undefined;
    const known = first.findIndex((k) => isSame(takes[k], take));
    if (known >= 0) return known;
    first.push(i);
    return first.length - 1;
  });
  const subs = takes.flatMap((take, i) => (take.isSubs ? [i] : []));
  const like = alikeInLevel(subs.map((i) => takes[i]));
  return takes.map((take, i) => {
    const known = own[i];
    if (known !== undefined || first.length < 2 || !take.isSubs) return known ?? 0;
    const k = subs.indexOf(i);
    // As many kinds of subs as standings: one each.
    if (new Set(like).size === first.length) return like[k];
    return Math.floor((k * first.length) / Math.max(subs.length, first.length));
  });
}

function isSame(a: HeardTake, b: HeardTake): boolean {
  if (a.mics.length !== b.mics.length) return false;
  const apart = a.mics.flatMap((track, i) => {
    const [x, y] = [a.delays.get(track), b.delays.get(b.mics[i])];
    return x === undefined || y === undefined ? [] : [Math.abs(x - y)];
  });
  return apart.length === 0 || median(apart) < SAME;
}

/** Takes of the same number are as loud at each microphone, relative to what was sent, as nothing that was moved is. */
function alikeInLevel(takes: readonly HeardTake[]): number[] {
  const levels = takes.map(({ mics, sent }) => mics.map((track) => track.low - (sent?.low ?? 0)));
  const first: number[] = [];
  return levels.map((own, i) => {
    const known = first.findIndex((k) => {
      const apart = own.map((x, m) => (x - levels[k][m]) ** 2);
      return (
        own.length === levels[k].length && Math.sqrt(apart.reduce((a, b) => a + b, 0) / apart.length) < ALIKE
      );
    });
    if (known >= 0) return known;
    first.push(i);
    return first.length - 1;
  });
}

/** dB. */
const ALIKE = 0.3;
