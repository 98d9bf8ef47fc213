/** A show in a theatre, invented whole: a folder with its venue, recordings made from the venue's model, and the show file. */
import { mkdirSync, readFileSync, writeFileSync } from "node:fs";
import path from "node:path";
import { writeWav } from "../../lib/measurement/wav/write";
import { type MicrophoneFault, simulateRecordings } from "../../lib/study/simulate-recordings";
import { readVenue } from "../../lib/venue/file/read";

const root = path.resolve(__dirname, "..", "..");

/** A place of the venue, and what is odd about the microphone there. */
export type Standing = readonly [place: string, microphone: MicrophoneFault];

/**
 * Writes the show.
 *
 * @param folder  to write into; made where it is missing
 * @param standing  places, in the order of their channels; "row L" among them has a reflection that the venue lacks
 * @returns seconds of each recording
 */
export function inventShow(folder: string, standing: readonly Standing[]): number {
  const text = readFileSync(path.join(root, "data", "venues", "harbour-theatre.json"), "utf8");
  const venue = readVenue(text, "harbour-theatre.json");
  const names = standing.map(([name]) => name);
  const positions = names.map((id) => {
    const position = venue.positions.find((p) => p.id === id);
    if (!position)
      throw new Error(`no position "${id}": the venue has ${venue.positions.map((p) => p.id).join(", ")}`);
    return position;
  });
  const made = simulateRecordings(venue, positions, {
    seed: 20260314,
    noise: 42,
    echoes: [{ position: "row L", delay: 0.041, level: -7 }],
    microphones: standing.map(([, microphone]) => microphone),
  });

  mkdirSync(folder, { recursive: true });
  const { sampleRate, reference } = made;
  const write = (name: string, channels: readonly Float64Array[]) =>
    writeWav(path.join(folder, `${name}.wav`), { sampleRate, channels, encoding: "int16" });
  for (const take of ["mains", "subs", "both"] as const) write(take, [reference, ...made[take]]);
  write("noise", [new Float64Array(made.noise[0].length), ...made.noise]);
  write("match", [reference.subarray(0, made.match[0].length), ...made.match]);
  // On the microphone of channel 4, the only one on.
  write("calibrator", [made.calibrator[2]]);
  writeFileSync(
    path.join(folder, "venue.json"),
    text.replace('"../venue.schema.json"', '"../../venue.schema.json"'),
  );

  const microphones = Object.fromEntries(names.map((name, i) => [name, i + 2]));
  const show = {
    $schema: "../../show.schema.json",
    name: "Quillmere Harbour Theatre, load-in",
    venue: "venue.json",
    notes: `${numbers[names.length] ?? names.length} microphones left to right on channels 2 to ${names.length + 1}, the console's output on channel 1. The house was empty. The control room's window beside row L is not in the venue file.`,
    measuredBy: "the system technician",
    measuredOn: "2026-03-14",
    settings: { targetTilt: 6, crossover: 85 },
    microphoneMatch: {
      recording: "match.wav",
      channels: names.map((_, i) => i + 2),
      calibrator: { recording: "calibrator.wav", channel: 1, microphone: 4 },
    },
    noiseFloor: { recording: "noise.wav" },
    takes: (["mains", "subs", "both"] as const).map((playing) => ({
      playing,
      recording: `${playing}.wav`,
      reference: 1,
      microphones,
    })),
  };
  writeFileSync(path.join(folder, "show.json"), `${JSON.stringify(show, null, 2)}\n`);
  return reference.length / sampleRate;
}

const numbers: { readonly [count: number]: string } = { 6: "Six", 8: "Eight" };
