/**
 * What a folder's recordings most likely are: which channel holds what was sent, what played in each take, where each microphone stood.
 *
 * Nothing is taken from names but which tracks belong together, and a position's own name; all else is heard.
 */
import { estimateDelay } from "../../lib/measurement/delay/delay";
import { median } from "../../lib/numeric/statistics";
import type { Venue } from "../../lib/venue/venue";
import type { AirTold } from "../record/air";
import { type Recognised, recogniseSignal } from "../signals/recognise";
import { asPoints, placeByDelay } from "./place";
import { standingsOf } from "./standings";
import { groupTracks, isTone, type TrackGroup } from "./takes";
import type { FoundFile, Track } from "./tracks";

export const playings = ["mains", "subs", "both", "match", "noise", "calibrator", "unknown"] as const;
export type Holds = (typeof playings)[number];

export interface ProposedTake extends AirTold {
  readonly name: string;
  /** Takes with the same number were made with the microphones at the same points. */
  readonly standing: number;
  readonly holds: Holds;
  /** Why, in words. */
  readonly because: string;
  readonly tracks: readonly ProposedTrack[];
}

export interface ProposedTrack {
  readonly file: string;
  readonly channel: number;
  /** The reference, a microphone at a position, or not used. */
  readonly use: "reference" | "microphone" | "not used";
  readonly position?: string;
  /** After the reference, milliseconds. */
  readonly delay_ms?: number;
  /** What the drawing lets expect there, milliseconds. */
  readonly expected_ms?: number;
  readonly level_db: number;
  readonly low_db: number;
  readonly mid_db: number;
  readonly thirds: Track["thirds"];
}

export interface Proposal {
  readonly takes: readonly ProposedTake[];
  /** What can't be told, or looks odd. */
  readonly doubts: readonly string[];
}

export function propose(files: readonly FoundFile[], venue?: Venue): Proposal {
  const groups = groupTracks(files);
  const doubts: string[] = [];
  const references = sharedReference(groups, groups.map(referenceOf));
  const heard = groups.map((group, i) => ({
    group,
    reference: references[i],
    mics: microphonesOf(group, references[i]),
  }));
  const kinds = kindsOf(heard);
  const standings = standingsOf(
    heard.map(({ mics, reference }, i) => ({
      mics,
      sent: reference?.track,
      delays: reference?.delays ?? new Map(),
      hasTreble: kinds[i] === undefined && reference !== undefined,
      isSubs: kinds[i]?.holds === "subs",
    })),
  );
  const holds = withMains(heard, kinds, standings);
  const repeats = repeatsOf(heard, holds, standings);
  const places = new Map<string, string>();
  const keyOf = (i: number, track: Track) => `${standings[i]} ${groups[i].tracks.indexOf(track)}`;
  // Takes of the mains tell best where microphones stood; what they say holds for the same channel elsewhere.
  const order = [...heard.keys()].sort(
    (a, b) => rank(holds[a].holds) - rank(holds[b].holds) || standings[a] - standings[b],
  );
  /** What is added alike to all flights, as the first standing has told it. */
  let rest: number | undefined;
  const before: { readonly position: string; readonly channel: number; readonly delay?: number }[] = [];
  const takes: ProposedTake[] = [];
  for (const i of order) {
    const { group, reference, mics } = heard[i];
    const { holds: what, because } = holds[i];
    const more = { standing: standings[i], because: [because, ...repeats[i]].join("; ") };
    const timed = mics.map((track) => ({
      track,
      delay: reference?.delays.get(track),
      channel: group.tracks.indexOf(track),
    }));
    if (what === "mains" || what === "both") {
      const placed = placeByDelay(
        timed.map(({ track, delay }) => ({ label: track.file, delay })),
        venue,
        rest,
      );
      rest ??= placed.rest;
      const isNew = timed.some(({ track }) => !places.has(keyOf(i, track)));
      const names = isNew
        ? asPoints(
            placed.microphones.map(({ position }, k) => ({ position, ...timed[k] })),
            before,
            venue,
          )
        : [];
      names.forEach((position, k) => {
        if (!position || places.has(keyOf(i, timed[k].track))) return;
        places.set(keyOf(i, timed[k].track), position);
        before.push({ position, ...timed[k] });
      });
      takes[i] = takeOf(group, what, more, reference?.track, (track) => {
        const k = mics.indexOf(track);
        return k < 0
          ? {}
          : { position: places.get(keyOf(i, track)), ...timesOf(placed.microphones[k], timed[k].delay) };
      });
    } else
      takes[i] = takeOf(group, what, more, reference?.track, (track) =>
        what === "subs" || what === "match" || what === "noise"
          ? { position: places.get(keyOf(i, track)) }
          : {},
      );
  }
  for (const kind of ["mains", "subs"] as const)
    if (!takes.some(({ holds: h }) => h === kind))
      doubts.push(`there is no take of the ${kind} alone among these recordings`);
  for (const { name, holds: h } of takes)
    if (h === "unknown") doubts.push(`what "${name}" holds can't be told`);
  heard.forEach(({ group, reference, mics }) => {
    const signal = reference ? undefined : signalIn(mics);
    if (signal)
      doubts.push(
        `"${group.name}" holds the test signal, ${SIGNALS[signal.kind]}, as microphones heard it, and no channel of what was sent: record the console's output, or a loop-back, on a channel beside them`,
      );
  });
  if (!takes.some(({ holds: h }) => h === "match"))
    doubts.push(
      "the microphones were not recorded together: differences between them count as differences between positions",
    );
  return { takes, doubts };
}

const SIGNALS: { readonly [kind in Recognised["kind"]]: string } = {
  noise: "pink noise",
  sweep: "a sweep",
  polarity: "pulses",
};

/** The test signal in the loudest of some tracks. */
function signalIn(tracks: readonly Track[]): Recognised | undefined {
  const [loudest] = [...tracks].sort((a, b) => b.level - a.level);
  return loudest && recogniseSignal(loudest.samples, loudest.sampleRate);
}

/** Of takes of one kind with the microphones at the same points, all but the first repeat it. */
const repeatsOf = (
  heard: readonly Heard[],
  holds: readonly { readonly holds: Holds }[],
  standings: readonly number[],
): string[][] =>
  holds.map(({ holds: what }, i) => {
    if (what !== "mains" && what !== "subs" && what !== "both") return [];
    const first = holds.findIndex((other, k) => other.holds === what && standings[k] === standings[i]);
    return first === i ? [] : [`repeats "${heard[first].group.name}", with which it is averaged`];
  });

const rank = (holds: Holds): number => ["mains", "both"].indexOf(holds) + 1 || 9;
const timesOf = (found: { readonly expected?: number }, delay: number | undefined) => ({
  ...(delay !== undefined && { delay_ms: 1000 * delay }),
  ...(found.expected !== undefined && { expected_ms: 1000 * found.expected }),
});

function takeOf(
  group: TrackGroup,
  holds: Holds,
  take: { readonly standing: number; readonly because: string },
  reference: Track | undefined,
  more: (track: Track) => Partial<ProposedTrack>,
): ProposedTake {
  return {
    name: group.name,
    holds,
    ...take,
    tracks: group.tracks.map((track) => ({
      file: track.file,
      channel: track.channel,
      use:
        track === reference
          ? "reference"
          : track.level < SILENT || holds === "unknown"
            ? "not used"
            : "microphone",
      level_db: track.level,
      low_db: track.low,
      mid_db: track.mid,
      thirds: track.thirds,
      ...more(track),
    })),
  };
}

/** dB re full scale. */
const SILENT = -110;

interface Reference {
  readonly track: Track;
  /** Seconds by which each other track trails it, where that stands out. */
  readonly delays: ReadonlyMap<Track, number>;
}

/** The channel that comes before all others: sound needs time, what was sent needs none. */
function referenceOf({ tracks }: TrackGroup): Reference | undefined {
  const loud = tracks.filter((track) => track.level > SILENT + 20);
  if (loud.length < 2 || loud.some(isTone)) return undefined;
  const earliest = earliestOf(loud);
  // Of a test signal of ours it can be heard whether it is the signal itself.
  const signal = earliest && recogniseSignal(earliest.track.samples, earliest.track.sampleRate);
  return signal && !signal.isCopy ? undefined : earliest;
}

function earliestOf(loud: readonly Track[]): Reference | undefined {
  // Of all who might, the one whom most others follow.
  const [first] = loud;
  const lags = loud.map((track) => (track === first ? 0 : lag(first, track)));
  const known = loud.filter((_, i) => lags[i] !== undefined);
  if (known.length < 2) return undefined;
  const earliest = loud.reduce(
    (best, track, i) => ((lags[i] ?? Infinity) < (lags[loud.indexOf(best)] ?? Infinity) ? track : best),
    first,
  );
  const delays = delaysAfter(earliest, loud);
  // A microphone close to the stage comes first where nothing that was sent was recorded; then others follow it less clearly.
  return delays.size > 0 && [...delays.values()].every((delay) => delay > -1e-4)
    ? { track: earliest, delays }
    : undefined;
}

/** Seconds by which each of the others trails a track, where that stands out. */
function delaysAfter(track: Track, others: readonly Track[]): Map<Track, number> {
  return new Map(
    others.flatMap((other) => {
      const delay = other === track ? undefined : lag(track, other);
      return delay === undefined ? [] : [[other, delay] as const];
    }),
  );
}

/**
 * Takes were patched alike: where a broadband take tells which channel is the reference, it is so in the others as well, of
 * which a band of an octave or two tells nothing of the kind.
 */
function sharedReference(
  groups: readonly TrackGroup[],
  found: readonly (Reference | undefined)[],
): (Reference | undefined)[] {
  const broad = (i: number) => {
    const reference = found[i];
    if (!reference) return false;
    const others = groups[i].tracks.filter((t) => t !== reference.track && t.level > SILENT);
    // What all but coincides leads nobody: microphones side by side, or copies of what was sent.
    if (Math.min(...reference.delays.values()) < TOGETHER) return false;
    return reference.delays.size >= others.length / 2 && median(others.map((t) => t.mid - t.low)) > -15;
  };
  return groups.map((group, i) => {
    if (broad(i)) return found[i];
    const votes = new Map<number, number>();
    groups.forEach((other, k) => {
      if (!broad(k) || other.tracks.length !== group.tracks.length) return;
      const { track } = found[k]!;
      const at = other.tracks.indexOf(track);
      votes.set(at, (votes.get(at) ?? 0) + 1);
    });
    const [most] = [...votes].sort((a, b) => b[1] - a[1]);
    const track = most && group.tracks[most[0]];
    if (!track) return found[i];
    if (found[i]?.track === track) return found[i];
    return {
      track,
      delays: delaysAfter(
        track,
        group.tracks.filter((t) => t.level > SILENT + 20),
      ),
    };
  });
}

function lag(from: Track, to: Track): number | undefined {
  const band = { from: 30, to: Math.min(8000, 0.45 * from.sampleRate) };
  const { chosen } = estimateDelay(from.samples, to.samples, from.sampleRate, {
    from: -0.4,
    to: 0.4,
    band,
    choose: "first",
    range: 12,
  });
  return chosen.reliable ? chosen.time : undefined;
}

const microphonesOf = ({ tracks }: TrackGroup, reference: Reference | undefined): Track[] =>
  tracks.filter((track) => track !== reference?.track && track.level > SILENT);

interface Heard {
  readonly group: TrackGroup;
  readonly reference?: Reference;
  readonly mics: readonly Track[];
}

interface Played {
  readonly holds: Holds;
  readonly because: string;
}

/** What played, by what is heard in each take beside the others; nothing of takes with treble, which mains or both may be. */
function kindsOf(heard: readonly Heard[]): (Played | undefined)[] {
  const levels = heard.map(({ mics }) => levelsOf(mics));
  const loudestMid = Math.max(...levels.map(({ mid }) => mid));
  const loudest = Math.max(...levels.map(({ all }) => all));
  const sent = Math.max(...heard.map(({ reference }) => reference?.track.level ?? -Infinity));
  return heard.map(({ group, reference, mics }, i) => {
    if (group.tracks.filter((t) => t.level > SILENT).every(isTone) && group.tracks.some(isTone))
      return { holds: "calibrator", because: "one tone" };
    if (mics.length === 0) return { holds: "unknown", because: "nothing but silence, or what was sent" };
    const followed = reference ? reference.delays.size : 0;
    if (levels[i].all < loudest - 20 && followed < mics.length / 2) {
      if (reference && reference.track.level > sent - 20)
        return {
          holds: "unknown",
          because: "what was sent plays on, and no microphone follows it at a steady time: a walk, perhaps",
        };
      return {
        holds: "noise",
        because: `${(loudest - levels[i].all).toFixed(0)} dB below the loudest, and nothing follows what was sent`,
      };
    }
    if (!reference)
      return levels[i].all < loudest - 20 ? { holds: "noise", because: "far below the others" } : undefined;
    const delays = [...reference.delays.values()];
    if (
      mics.length > 2 &&
      delays.length === mics.length &&
      Math.max(...delays) - Math.min(...delays) < TOGETHER
    )
      return {
        holds: "match",
        because: `all within ${(1000 * (Math.max(...delays) - Math.min(...delays))).toFixed(1)} ms`,
      };
    if (levels[i].mid < loudestMid - 12 && levels[i].low > levels[i].mid + 3)
      return {
        holds: "subs",
        because: `${(loudestMid - levels[i].mid).toFixed(0)} dB less from 450 to 2250 Hz than the others`,
      };
    return undefined;
  });
}

function levelsOf(mics: readonly Track[]) {
  const typical = (value: (track: Track) => number) => (mics.length ? median(mics.map(value)) : -160);
  return { all: typical((t) => t.level), low: typical((t) => t.low), mid: typical((t) => t.mid) };
}

/** Of takes with treble at the same points those with more bass, over what was sent, have the subs in them. */
function withMains(
  heard: readonly Heard[],
  kinds: readonly (Played | undefined)[],
  standings: readonly number[],
): Played[] {
  const rest = heard.flatMap(({ reference }, i) => (kinds[i] || !reference ? [] : [i]));
  const tilts = heard.map(({ mics, reference }) => {
    const { low, mid } = levelsOf(mics);
    return low - mid - ((reference?.track.low ?? 0) - (reference?.track.mid ?? 0));
  });
  const split = (takes: readonly number[]) => {
    const sorted = takes.map((i) => tilts[i]).sort((a, b) => a - b);
    const gaps = sorted.slice(1).map((tilt, k) => tilt - sorted[k]);
    const widest = gaps.indexOf(Math.max(...gaps));
    return gaps[widest] > LEAST_BASS
      ? { gap: gaps[widest], limit: (sorted[widest] + sorted[widest + 1]) / 2 }
      : undefined;
  };
  const all = split(rest);
  return kinds.map((found, i) => {
    if (found) return found;
    if (!heard[i].reference) return { holds: "unknown", because: "no channel comes before all others" };
    const here = rest.filter((k) => standings[k] === standings[i]);
    const parted = split(here) ?? (here.length > 1 || standings.every((s) => s === 0) ? undefined : all);
    if (!parted) return { holds: "mains", because: "has treble" };
    const more = `${parted.gap.toFixed(0)} dB`;
    return tilts[i] > parted.limit
      ? { holds: "both", because: `has treble, and ${more} more bass than the mains alone` }
      : { holds: "mains", because: `${more} less bass than another take with treble` };
  });
}

/** Seconds: microphones side by side. */
const TOGETHER = 0.001;
const LEAST_BASS = 1.5; // dB
