/** `npm run signals -- FOLDER`: the test signals as WAV files, with their levels relative to full scale. */
import path from "node:path";
import { makeFolder } from "../lib/files/write";
import { writeWav } from "../lib/measurement/wav/write";
import { fromUser } from "./setup/places.mjs";
import { runCommand } from "./setup/setup-error.mjs";
import { readSignalsOptions } from "./signals/options";
import { signalKinds, testSignal } from "./signals/signals";

runCommand(
  () => {
    const call = readSignalsOptions(process.argv.slice(2));
    if (!call) return 0;
    const { only, rate, seconds, from, to, level } = call;
    const signals = (only ? [only] : signalKinds).map((kind) =>
      testSignal(kind, { sampleRate: rate, seconds, from, to, level }),
    );
    const folder = fromUser(call.folder);
    makeFolder(folder);
    for (const { kind, sampleRate, samples, rms_db, peak_db, crest_db, says } of signals) {
      writeWav(path.join(folder, `${kind}.wav`), { sampleRate, channels: [samples], encoding: "int24" });
      const levels =
        kind === "polarity"
          ? `peak ${peak_db.toFixed(1)} dB re full scale`
          : `RMS ${rms_db.toFixed(1)} dB, peak ${peak_db.toFixed(1)} dB re full scale, crest factor ${crest_db.toFixed(1)} dB`;
      console.log(`${kind}.wav: ${says}; ${levels}`);
    }
    console.log(
      "\nPlay them with the fader down first and raise it by ear: a test signal at show level harms hearing.",
    );
    return 0;
  },
  ({ name }) => name === "RangeError",
);
