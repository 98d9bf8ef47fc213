/** `npm run new-show -- FOLDER`: a show from recordings, proposed by what is heard in them, changed on a page or by flags. */

import { existsSync, statSync } from "node:fs";
import path from "node:path";
import { servePage } from "./local-page/serve";
import { type Editing, startEditing } from "./new-show/editing";
import { readNewShowOptions } from "./new-show/options";
import { newShowPage } from "./new-show/page";
import { fromUser } from "./setup/places.mjs";
import { isOfLibrary, runCommand, SetupError } from "./setup/setup-error.mjs";
import { freePort } from "./start/free-port.mjs";

runCommand(async () => {
  const call = readNewShowOptions(process.argv.slice(2));
  if (!call) return 0;
  const folder = fromUser(call.folder);
  if (!existsSync(folder) || !statSync(folder).isDirectory())
    throw new SetupError(`${folder} is no folder: give the one that holds the recordings.`);
  const { form, positions, air } = call;
  const editing = startEditing({ folder, name: call.name ?? path.basename(folder), form, positions, air });
  console.log(inWords(editing));
  if (call.write) {
    const { show, venue } = editing.write();
    console.log(`\nWritten: ${venue}, ${show}. npm run study -- ${call.folder} works it through.`);
    return 0;
  }
  const page = await servePage(newShowPage(editing), await freePort(call.port, 8892));
  console.log(`\nOpen\n\n  ${page.address}\n\nCtrl-C here ends it.`);
  await new Promise((resolve) => {
    for (const signal of ["SIGINT", "SIGTERM", "SIGHUP"] as const) process.once(signal, resolve);
  });
  await page.close();
  return 0;
}, isOfLibrary);

function inWords(editing: Editing): string {
  const { takes, doubts } = editing.state();
  const lines = takes.flatMap(({ name, holds, because, tracks }) => [
    `${name}: ${holds} (${because})`,
    ...tracks.map(({ file, channel, use, position, delay_ms, expected_ms }) => {
      const times =
        delay_ms === undefined
          ? ""
          : `, ${delay_ms.toFixed(1)} ms${expected_ms === undefined ? "" : ` where ${expected_ms.toFixed(1)} ms is expected`}`;
      return `    ${file}, channel ${channel}: ${use}${position && use === "microphone" ? ` at ${position}` : ""}${times}`;
    }),
  ]);
  return [...lines, ...doubts.map((doubt) => `  note: ${doubt}`)].join("\n");
}
