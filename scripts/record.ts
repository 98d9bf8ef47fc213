/** `npm run record -- FOLDER`: plays the test signal and records all inputs of an interface, take by take, by a page. */
import { existsSync, readFileSync } from "node:fs";
import path from "node:path";
import { makeFolder } from "../lib/files/write";
import { readVenue } from "../lib/venue/file/read";
import { servePage } from "./local-page/serve";
import { readRecordOptions } from "./record/options";
import { recordPage } from "./record/page";
import { listDevices, startRecorder } from "./record/recorder";
import { startSession } from "./record/session";
import { fromUser } from "./setup/places.mjs";
import { ensurePython, recordEnvironment } from "./setup/python-env.mjs";
import { isOfLibrary, runCommand, SetupError } from "./setup/setup-error.mjs";
import { freePort } from "./start/free-port.mjs";

runCommand(async () => {
  const call = readRecordOptions(process.argv.slice(2));
  if (!call) return 0;
  const python = await ensurePython(recordEnvironment, "what records (PortAudio, numpy)");
  if (call.devices) {
    for (const { number, name, system, inputs, outputs, rate, usual } of await listDevices(python))
      console.log(
        `${String(number).padStart(3)}  ${name} (${system}): ${inputs} inputs, ${outputs} outputs, ${rate} Hz${usual ? ", the system's choice" : ""}`,
      );
    return 0;
  }
  const folder = fromUser(call.folder!);
  makeFolder(folder);
  const venue = venueIn(folder);
  const known = venue?.venue.positions.map(({ id }) => id);
  const positions = call.positions ?? known ?? call.microphones.map((_, i) => `position ${i + 1}`);
  const unknown = known && positions.find((name) => !known.includes(name));
  if (unknown !== undefined)
    throw new SetupError(
      `--positions names "${unknown}", which is none of the venue's: ${known?.join(", ")}.`,
    );
  const { device, rate, inputs, outputs, reference, microphones, seconds } = call;
  const recorder = await startRecorder(python, { device, rate, inputs, outputs });
  let page: Awaited<ReturnType<typeof servePage>> | undefined;
  const session = startSession(
    recorder,
    {
      folder,
      setting: { device, rate, inputs, outputs },
      venue,
      reference,
      microphones,
      positions,
      seconds,
      name: venue?.venue.name ?? path.basename(folder),
    },
    () => page?.tell(),
  );
  page = await servePage(recordPage(session), await freePort(call.port, 8891));
  console.log(
    `\nRecording into ${folder}. Open\n\n  ${page.address}\n\nCtrl-C here ends it; takes that were accepted are kept.`,
  );
  await new Promise((resolve) => {
    for (const signal of ["SIGINT", "SIGTERM", "SIGHUP"] as const) process.once(signal, resolve);
  });
  await page.close();
  await session.close();
  console.log("Ended.");
  return 0;
}, isOfLibrary);

function venueIn(folder: string) {
  const file = path.join(folder, "venue.json");
  if (!existsSync(file)) return undefined;
  return { file: "venue.json", venue: readVenue(readFileSync(file, "utf8"), "venue.json") };
}
