/** Folders of recordings as different people leave them, with what is true of each. */
import { mkdirSync, readFileSync } from "node:fs";
import path from "node:path";
import { writeWav } from "../../../lib/measurement/wav/write";
import { normal } from "../../../lib/numeric/random";
import { type SimulatedRecordings, simulateRecordings } from "../../../lib/study/simulate-recordings";
import { readVenue } from "../../../lib/venue/file/read";
import type { Venue } from "../../../lib/venue/venue";

type Kind = "mains" | "subs" | "both" | "match" | "noise" | "calibrator";

export interface Make {
  readonly says: string;
  readonly venue: string;
  /** Which of the venue's positions, in the order of the channels. */
  readonly at: readonly number[];
  /** Name of each take's file, or part of it; a take without a name is missing. */
  readonly names: Partial<Record<Kind, string>>;
  /** Name of a track's file where each microphone has its own. */
  readonly track?: (take: string, microphone: number, position: string) => string;
  /** Where the reference lies among the channels. Default 0. */
  readonly reference?: number;
  /** Whether the drawing is known. Default true. */
  readonly drawn?: boolean;
}

const usual = { mains: "mains", subs: "subs", both: "both", match: "match", noise: "noise" };
const first = (n: number) => Array.from({ length: n }, (_, i) => i);

export const makes: readonly Make[] = [
  {
    says: "plain names, reference first",
    venue: "harbour-theatre",
    at: first(5),
    names: { ...usual, calibrator: "cal" },
  },
  {
    says: "numbered takes",
    venue: "harbour-theatre",
    at: [3, 1, 0, 4],
    names: { mains: "Take 2", subs: "Take 3", both: "Take 4", match: "Take 1", noise: "Take 5" },
  },
  {
    says: "German",
    venue: "harbour-theatre",
    at: [4, 3, 2, 1, 0],
    names: {
      mains: "Haupt-PA",
      subs: "Bässe",
      both: "alles zusammen",
      match: "Mikros beieinander",
      noise: "Ruhe",
    },
    reference: 5,
  },
  {
    says: "French, no match",
    venue: "harbour-theatre",
    at: [0, 2, 4],
    names: { mains: "façade", subs: "caissons", both: "ensemble", noise: "silence" },
  },
  {
    says: "Japanese",
    venue: "harbour-theatre",
    at: [1, 2, 3],
    names: { mains: "メイン", subs: "サブ", both: "両方", match: "マイク", noise: "暗騒音" },
  },
  {
    says: "names of mains and subs swapped",
    venue: "harbour-theatre",
    at: first(4),
    names: { ...usual, mains: "subs", subs: "mains" },
  },
  { says: "mains and subs alone", venue: "harbour-theatre", at: [2, 0, 3], names: { mains: "a", subs: "b" } },
  {
    says: "no take of the subs",
    venue: "harbour-theatre",
    at: first(3),
    names: { mains: "mains", both: "both", noise: "noise" },
  },
  {
    says: "dates for names",
    venue: "harbour-theatre",
    at: first(5),
    names: {
      mains: "2031-05-04 16.20",
      subs: "2031-05-04 16.25",
      both: "2031-05-04 16.31",
      match: "2031-05-04 16.02",
      noise: "2031-05-04 16.40",
    },
  },
  {
    says: "one microphone a file, take first",
    venue: "harbour-theatre",
    at: first(4),
    names: usual,
    track: (take, m) => `${take}_${m === 0 ? "ref" : `mic${m}`}`,
  },
  {
    says: "one microphone a file, microphone first",
    venue: "harbour-theatre",
    at: [0, 1, 2, 3],
    names: usual,
    track: (take, m) => `track ${m + 1} ${take}`,
  },
  {
    says: "one microphone a file, named by position",
    venue: "harbour-theatre",
    at: [2, 0, 4],
    names: { mains: "mains", subs: "subs", both: "both" },
    track: (take, m, position) => `${take} - ${m === 0 ? "console" : position}`,
  },
  {
    says: "Spanish tracks",
    venue: "ulverow-meadow",
    at: first(3),
    names: { mains: "principal", subs: "graves", both: "todo" },
    track: (take, m) => `${take} pista ${m + 1}`,
  },
  { says: "outdoors", venue: "ulverow-meadow", at: first(4), names: usual, reference: 4 },
  { says: "outdoors, no drawing", venue: "ulverow-meadow", at: [2, 1, 0], names: usual, drawn: false },
  { says: "a club", venue: "ombrik-cellar", at: [4, 0, 2, 3], names: usual },
  {
    says: "a club without a drawing, reference in the middle",
    venue: "ombrik-cellar",
    at: [0, 2, 4],
    names: { mains: "oben", subs: "unten", noise: "leer" },
    reference: 2,
    drawn: false,
  },
  {
    says: "a calibrator by its level",
    venue: "pennavoe-assembly-hall",
    at: first(5),
    names: { ...usual, calibrator: "94" },
  },
  {
    says: "an assembly hall, numbers alone",
    venue: "pennavoe-assembly-hall",
    at: first(4),
    names: { mains: "3", subs: "1", both: "2", match: "5", noise: "4" },
  },
  {
    says: "an assembly hall, tracks numbered through",
    venue: "pennavoe-assembly-hall",
    at: first(3),
    names: { mains: "T1", subs: "T2", both: "T3", noise: "T4" },
    track: (take, m) => `${take}-${m + 1}`,
  },
];

export interface Truth {
  readonly venue?: Venue;
  /** For each take, by the first of its files: what played, and each channel's use. */
  readonly takes: readonly { readonly holds: Kind; readonly files: readonly string[] }[];
  /** File and channel → position; "reference" for what was sent. */
  readonly use: ReadonlyMap<string, string>;
}

const made = new Map<string, { venue: Venue; recordings: SimulatedRecordings }>();

function recordingsOf(name: string) {
  const before = made.get(name);
  if (before) return before;
  const file = path.join(__dirname, "..", "..", "..", "data", "venues", `${name}.json`);
  const venue = readVenue(readFileSync(file, "utf8"), `${name}.json`);
  const recordings = simulateRecordings(venue, venue.positions.slice(0, 5), {
    seconds: 4,
    noise: 40,
    sampleRate: 16_000,
  });
  const found = { venue, recordings };
  made.set(name, found);
  return found;
}

/** Writes a folder. */
export function leave(folder: string, make: Make): Truth {
  const { venue, recordings } = recordingsOf(make.venue);
  const { reference = 0, drawn = true } = make;
  mkdirSync(folder, { recursive: true });
  const random = normal(3);
  const use = new Map<string, string>();
  const takes: { holds: Kind; files: string[] }[] = [];
  for (const [kind, name] of Object.entries(make.names) as [Kind, string][]) {
    const source = recordings[kind];
    const length = source[0].length;
    const sent =
      kind === "noise" || kind === "calibrator"
        ? new Float64Array(length)
        : recordings.reference.subarray(0, length);
    const positions = make.at.map((i) => venue.positions[i].id);
    // Interfaces have noise of their own, below all else.
    const channels = make.at.map((i) => source[i]);
    channels.splice(
      reference,
      0,
      sent.map((x) => x + 1e-6 * random()),
    );
    const places = [...positions];
    places.splice(reference, 0, "reference");
    const write = (file: string, samples: readonly Float64Array[]) =>
      writeWav(path.join(folder, file), {
        sampleRate: recordings.sampleRate,
        channels: samples,
        encoding: "int24",
      });
    if (kind === "calibrator") {
      write(`${name}.wav`, [source[make.at[0]]]);
      takes.push({ holds: kind, files: [`${name}.wav`] });
    } else if (make.track) {
      const files = channels.map((_, m) => `${make.track!(name, m, places[m])}.wav`);
      channels.forEach((samples, m) => {
        write(files[m], [samples]);
        use.set(`${files[m]} 1`, places[m]);
      });
      takes.push({ holds: kind, files });
    } else {
      write(`${name}.wav`, channels);
      for (const [m, place] of places.entries()) use.set(`${name}.wav ${m + 1}`, place);
      takes.push({ holds: kind, files: [`${name}.wav`] });
    }
  }
  return { ...(drawn && { venue }), takes, use };
}
