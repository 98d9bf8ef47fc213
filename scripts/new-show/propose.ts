/**
 * What a folder's recordings most likely are: which channel holds what was sent, what played in each take, where each microphone stood.
 *
 * Nothing is taken from names but which tracks belong together, and a position's own name; all else is heard.
 */
import { estimateDelay } from "../../lib/measurement/delay/delay";
import { median } from "../../lib/numeric/statistics";
import type { Venue } from "../../lib/venue/venue";
import { placeByDelay } from "./place";
import { groupTracks, isTone, type TrackGroup } from "./takes";
import type { FoundFile, Track } from "./tracks";

export const playings = ["mains", "subs", "both", "match", "noise", "calibrator", "unknown"] as const;
export type Holds = (typeof playings)[number];

export interface ProposedTake {
  readonly name: string;
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
  const holds = whatPlays(heard);
  const places = new Map<string, string>();
  // Takes of the mains tell best where microphones stood; what they say holds for the same channel elsewhere.
  const order = [...heard.keys()].sort((a, b) => rank(holds[a].holds) - rank(holds[b].holds));
  const takes: ProposedTake[] = [];
  for (const i of order) {
    const { group, reference, mics } = heard[i];
    const { holds: what, because } = holds[i];
    const timed = mics.map((track) => ({ track, delay: reference?.delays.get(track) }));
    if (what === "mains" || what === "both") {
      const found = placeByDelay(
        timed.map(({ track, delay }) => ({ label: track.file, delay })),
        venue,
      );
      timed.forEach(({ track }, k) => {
        const key = keyOf(group, track);
        if (!places.has(key) && found[k].position) places.set(key, found[k].position!);
      });
      takes[i] = takeOf(group, what, because, reference?.track, (track) => {
        const k = mics.indexOf(track);
        return k < 0
          ? {}
          : { position: places.get(keyOf(group, track)), ...timesOf(found[k], timed[k].delay) };
      });
    } else
      takes[i] = takeOf(group, what, because, reference?.track, (track) =>
        what === "subs" || what === "match" || what === "noise"
          ? { position: places.get(keyOf(group, track)) }
          : {},
      );
  }
  for (const kind of ["mains", "subs"] as const)
    if (!takes.some(({ holds: h }) => h === kind))
      doubts.push(`there is no take of the ${kind} alone among these recordings`);
  for (const { name, holds: h } of takes)
    if (h === "unknown") doubts.push(`what "${name}" holds can't be told`);
  if (!takes.some(({ holds: h }) => h === "match"))
    doubts.push(
      "the microphones were not recorded together: differences between them count as differences between positions",
    );
  return { takes, doubts };
}

const rank = (holds: Holds): number => ["mains", "both"].indexOf(holds) + 1 || 9;
/** The same channel of every recording is the same microphone; of tracks in files of their own, the same place in each group. */
const keyOf = (group: TrackGroup, track: Track): string => String(group.tracks.indexOf(track));

const timesOf = (found: { readonly expected?: number }, delay: number | undefined) => ({
  ...(delay !== undefined && { delay_ms: 1000 * delay }),
  ...(found.expected !== undefined && { expected_ms: 1000 * found.expected }),
});

function takeOf(
  group: TrackGroup,
  holds: Holds,
  because: string,
  reference: Track | undefined,
  more: (track: Track) => Partial<ProposedTrack>,
): ProposedTake {
  return {
    name: group.name,
    holds,
    because,
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

/** What played, by what is heard in each take beside the others. */
function whatPlays(heard: readonly Heard[]): { holds: Holds; because: string }[] {
  const typical = (mics: readonly Track[], value: (track: Track) => number) =>
    mics.length ? median(mics.map(value)) : -160;
  const levels = heard.map(({ mics }) => ({
    all: typical(mics, (t) => t.level),
    low: typical(mics, (t) => t.low),
    mid: typical(mics, (t) => t.mid),
  }));
  const loudestMid = Math.max(...levels.map(({ mid }) => mid));
  const loudest = Math.max(...levels.map(({ all }) => all));
  const first = heard.map(({ group, reference, mics }, i): { holds: Holds; because: string } | undefined => {
    if (group.tracks.filter((t) => t.level > SILENT).every(isTone) && group.tracks.some(isTone))
      return { holds: "calibrator", because: "one tone" };
    if (mics.length === 0) return { holds: "unknown", because: "nothing but silence, or what was sent" };
    const followed = reference ? reference.delays.size : 0;
    if (levels[i].all < loudest - 20 && followed < mics.length / 2)
      return {
        holds: "noise",
        because: `${(loudest - levels[i].all).toFixed(0)} dB below the loudest, and nothing follows what was sent`,
      };
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
  const rest = heard.flatMap(({ reference }, i) => (first[i] || !reference ? [] : [i]));
  // Of those with treble the one with more bass, over what was sent, has the subs in it.
  const tilt = (i: number) =>
    levels[i].low -
    levels[i].mid -
    ((heard[i].reference?.track.low ?? 0) - (heard[i].reference?.track.mid ?? 0));
  const byBass = [...rest].sort((a, b) => tilt(a) - tilt(b));
  return first.map((found, i) => {
    if (found) return found;
    if (!heard[i].reference) return { holds: "unknown", because: "no channel comes before all others" };
    const difference = byBass.length > 1 ? tilt(byBass[byBass.length - 1]) - tilt(byBass[0]) : 0;
    if (byBass.length === 1 || byBass[0] === i)
      return {
        holds: "mains",
        because:
          byBass.length > 1
            ? `${difference.toFixed(0)} dB less bass than the other take with treble`
            : "has treble",
      };
    if (i === byBass[byBass.length - 1] && difference > LEAST_BASS)
      return {
        holds: "both",
        because: `has treble, and ${difference.toFixed(0)} dB more bass than the mains alone`,
      };
    return { holds: "unknown", because: "has treble, like another take" };
  });
}

/** Seconds: microphones side by side. */
const TOGETHER = 0.001;
const LEAST_BASS = 1.5; // dB
