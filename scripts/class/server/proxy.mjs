// @ts-check
/** The hub's proxy, in a folder of its own: no student's computer needs it. */
import { existsSync, readFileSync } from "node:fs";
import { runNpm } from "../../setup/npm-command.mjs";
import { inRoot } from "../../setup/places.mjs";
import { lastWords } from "../../setup/run.mjs";
import { SetupError } from "../../setup/setup-error.mjs";
import { hashOf, isStamped, writeStamp } from "../../setup/stamp.mjs";
import { step } from "../../setup/step.mjs";

const folder = inRoot("scripts", "class", "server");
const script = inRoot(
  "scripts",
  "class",
  "server",
  "node_modules",
  "configurable-http-proxy",
  "bin",
  "configurable-http-proxy",
);

/** The proxy's command, for the hub's settings. */
export const proxyCommand = [process.execPath, script];

export async function ensureProxy() {
  const wanted = hashOf(
    readFileSync(inRoot("scripts", "class", "server", "package-lock.json")),
    process.version,
  );
  const stamp = inRoot("scripts", "class", "server", "node_modules", ".evenground-packages");
  if (existsSync(script) && isStamped(stamp, wanted)) return;
  await step("the hub's proxy", async () => {
    const args = ["ci", "--ignore-scripts", "--no-audit", "--no-fund", "--no-progress"];
    const { code, output } = await runNpm(args, folder);
    if (code !== 0) {
      throw new SetupError(
        `The proxy could not be installed: check the network connection (and free disk space), then run this again.\nnpm said:\n  ${lastWords(output)}`,
      );
    }
  });
  writeStamp(stamp, wanted);
}
