/**
 * Makes the invented recordings of a show in data/shows/ from its venue's model: `ts-node scripts/make-show.ts`.
 *
 * They are committed, so a fresh clone can study the show at once; run this again when the venue or the model changes.
 */
import { mkdirSync, readFileSync, writeFileSync } from "node:fs";
import path from "node:path";
import { writeWav } from "../lib/measurement/wav-write";
import { inventRecordings } from "../lib/study/invent-recordings";
import { readVenue } from "../lib/venue/read";

const root = path.resolve(__dirname, "..");
const folder = path.join(root, "data", "shows", "harbour-theatre");
const text = readFileSync(path.join(root, "data", "venues", "harbour-theatre.json"), "utf8");
const venue = readVenue(text, "harbour-theatre.json");

const names = ["row A", "row D", "row H", "row L", "row T", "mix position"];
const places = names.map((id) => {
  const place = venue.places.find((p) => p.id === id);
  if (!place) throw new Error(`no place "${id}": the venue has ${venue.places.map((p) => p.id).join(", ")}`);
  return place;
});

const made = inventRecordings(venue, places, {
  seed: 20260314,
  noise: 42,
  echoes: [{ place: "row L", delay: 0.041, level: -7 }],
  microphones: [{ gain: 0.3 }, { gain: -0.4 }, { gain: 0.1 }, { gain: -1.4 }, { gain: 0.2 }, { gain: 0 }],
});

mkdirSync(folder, { recursive: true });
const { sampleRate, reference } = made;
for (const take of ["mains", "subs", "both"] as const) {
  const channels = [reference, ...made[take]];
  writeWav(path.join(folder, `${take}.wav`), {
    sampleRate,
    channels,
    encoding: "int16",
  });
}
const nothingSent = new Float64Array(made.noise[0].length);
writeWav(path.join(folder, "noise.wav"), {
  sampleRate,
  channels: [nothingSent, ...made.noise],
  encoding: "int16",
});
writeWav(path.join(folder, "match.wav"), {
  sampleRate,
  channels: [reference.subarray(0, made.match[0].length), ...made.match],
  encoding: "int16",
});
// On the microphone of channel 4, the only one on.
writeWav(path.join(folder, "calibrator.wav"), {
  sampleRate,
  channels: [made.calibrator[2]],
  encoding: "int16",
});
writeFileSync(
  path.join(folder, "venue.json"),
  text.replace('"../venue.schema.json"', '"../../venue.schema.json"'),
);

const microphones = Object.fromEntries(names.map((name, i) => [name, i + 2]));
const show = {
  $schema: "../../show.schema.json",
  name: "Quillmere Harbour Theatre, load-in",
  venue: "venue.json",
  notes:
    "Six microphones left to right on channels 2 to 7, the console's output on channel 1. The house was empty. The control room's window beside row L is not in the venue file.",
  measuredBy: "the system technician",
  measuredOn: "2026-03-14",
  settings: { targetTilt: 6, crossover: 85 },
  microphoneMatch: {
    recording: "match.wav",
    channels: names.map((_, i) => i + 2),
    calibrator: { recording: "calibrator.wav", channel: 1, microphone: 4 },
  },
  noise: { recording: "noise.wav" },
  takes: (["mains", "subs", "both"] as const).map((sounding) => ({
    sounding,
    recording: `${sounding}.wav`,
    reference: 1,
    microphones,
  })),
};
writeFileSync(path.join(folder, "show.json"), `${JSON.stringify(show, null, 2)}\n`);
console.log(
  `${folder}: ${names.length} places, ${(reference.length / sampleRate).toFixed(1)} s at ${sampleRate} Hz`,
);
