/** Which files belong to one take: a file of several channels is one; tracks of one microphone each are sorted by their names. */
import { median } from "../../lib/numeric/statistics";
import type { FoundFile, Track } from "./tracks";

/** Tracks that were recorded together. */
export interface TrackGroup {
  /** What its files have in common. */
  readonly name: string;
  readonly tracks: readonly Track[];
}

export function groupTracks(files: readonly FoundFile[]): TrackGroup[] {
  const several = files.filter(({ tracks }) => tracks.length > 2 || isTone(tracks[0]));
  const few = files.filter((file) => !several.includes(file));
  return [
    ...several.map(({ name, tracks }) => ({ name: stem(name), tracks })),
    // Where two channels are all there is, a file is a take of its own; otherwise files of one and two channels are tracks.
    ...(several.some(({ tracks }) => tracks.length > 2) || few.length < 4
      ? few.map(({ name, tracks }) => ({ name: stem(name), tracks }))
      : byNames(few)),
  ];
}

/** A calibrator is one strong tone. */
export const isTone = ({ tone, level }: Track): boolean => tone > 10 && level > -60;

const stem = (name: string) => name.replace(/\.wav$/i, "");
const wordsOf = (name: string): string[] => stem(name).match(/\p{L}+|\d+/gu) ?? [];

/**
 * Names such as "mains mic 3" are made of one part that says the take and one that says the microphone. The part that says the
 * take is the one by which files sound most alike.
 */
function byNames(files: readonly FoundFile[]): TrackGroup[] {
  const words = files.map(({ name }) => wordsOf(name));
  const most = Math.max(...words.map((w) => w.length));
  const keys = [
    ...Array.from({ length: most }, (_, i) => (w: readonly string[]) => w[i]),
    ...Array.from({ length: most }, (_, i) => (w: readonly string[]) => w[w.length - 1 - i]),
  ];
  const tried = keys.flatMap((key) => {
    const groups = new Map<string, FoundFile[]>();
    files.forEach((file, i) => {
      const word = (key(words[i]) ?? "").toLowerCase();
      groups.set(word, [...(groups.get(word) ?? []), file]);
    });
    const sizes = [...groups.values()].map((group) => group.length);
    if (groups.size < 2 || Math.min(...sizes) < 2) return [];
    return [
      {
        groups,
        spread:
          spreadWithin([...groups.values()]) + (Math.max(...sizes) !== Math.min(...sizes) ? UNEQUAL : 0),
      },
    ];
  });
  const best = tried.sort((a, b) => a.spread - b.spread)[0];
  if (!best) return byLength(files);
  return [...best.groups].map(([word, group]) => ({
    name: word,
    tracks: group.flatMap(({ tracks }) => tracks),
  }));
}

/** dB of spread that takes with different numbers of tracks must make up for. */
const UNEQUAL = 20;

/** Recordings that were started and stopped together are equally long. */
function byLength(files: readonly FoundFile[]): TrackGroup[] {
  const groups = new Map<string, FoundFile[]>();
  for (const file of files) {
    const key = file.seconds.toFixed(1);
    groups.set(key, [...(groups.get(key) ?? []), file]);
  }
  return [...groups.values()].map((group) => ({
    name: stem(group[0].name),
    tracks: group.flatMap(({ tracks }) => tracks),
  }));
}

/** How much tone and level differ within groups, dB: the reference, which is alike in all of them, is passed over by the median. */
function spreadWithin(groups: readonly (readonly FoundFile[])[]): number {
  const spreads = groups.map((group) => {
    const tilts = group.flatMap(({ tracks }) =>
      tracks.map((t) => Math.max(t.low, -90) - Math.max(t.mid, -90)),
    );
    const levels = group.flatMap(({ tracks }) => tracks.map((t) => Math.max(t.level, -90)));
    return around(tilts) + around(levels);
  });
  return spreads.reduce((a, b) => a + b, 0) / spreads.length;
}

const around = (values: readonly number[]): number => {
  const middle = median([...values]);
  return median(values.map((v) => Math.abs(v - middle)));
};
