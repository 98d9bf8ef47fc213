// @ts-check
/** `npm start`: sets up what is missing, hands out the lessons, opens the course in the browser. */
import path from "node:path";
import { writeKernel } from "./setup/kernel.mjs";
import { leftRunning, offerToEnd } from "./setup/left-running.mjs";
import { ensureLibrary } from "./setup/library.mjs";
import { requireNode } from "./setup/node-version.mjs";
import { ensureNpmPackages } from "./setup/npm-packages.mjs";
import { inRoot } from "./setup/places.mjs";
import { courseEnvironment, ensurePython, NoPython } from "./setup/python-env.mjs";
import { runCommand, SetupError } from "./setup/setup-error.mjs";
import { ensureSnapshot, snapshotMetadata } from "./setup/snapshot.mjs";
import { freePort } from "./start/free-port.mjs";
import { readStartOptions } from "./start/options.mjs";
import { serve } from "./start/serve.mjs";
import { linkModules, workFolder } from "./work/folder.mjs";
import { handOut } from "./work/hand-out.mjs";
import { notebooksIn } from "./work/lessons.mjs";

runCommand(async () => {
  requireNode();
  const options = readStartOptions(process.argv.slice(2));
  if (!options) return 0;
  const folder = workFolder(options.work);
  await offerToEnd(
    leftRunning(
      (words) => words.includes("jupyterlab") && words.includes(`${inRoot(".venv")}${path.sep}`),
      "start.mjs",
    ),
    "JupyterLab",
  );
  if (options.port) await freePort(options.port);

  console.log("Setting up what is missing:");
  // Side by side: the one waits for the network while the other unpacks. What works is finished though the other fails.
  const packages = ensureNpmPackages({ forTests: false })
    .then(ensureLibrary)
    .then(() => ensureSnapshot());
  const environment = ensurePython(courseEnvironment, "JupyterLab");
  await Promise.allSettled([packages, environment]);
  await packages;
  const python = await environment.catch(offerTheBook);
  writeKernel(courseEnvironment.folder, { metadata: snapshotMetadata() });

  const came = handOut(inRoot("notebooks"), folder);
  tellHandedOut(came, folder);
  linkModules(folder);
  return serve({ python, folder, page: firstPage(came.added), ...options });
});

/**
 * The first lesson, where it is new to the student; later the page as it was left.
 *
 * @param {readonly string[]} added
 */
function firstPage(added) {
  const [first] = notebooksIn(inRoot("notebooks"));
  return first && added.includes(first) ? `/lab/tree/${encodeURIComponent(first)}` : "/lab";
}

/**
 * @param {unknown} error
 * @returns {never}
 */
function offerTheBook(error) {
  if (!(error instanceof NoPython)) throw error;
  throw new SetupError(
    `${error.message}\nUntil then you can read the course, with its figures and live panels, as a web book, which needs no Python: npm run book`,
  );
}

/**
 * @param {ReturnType<typeof handOut>} came
 * @param {string} folder
 */
function tellHandedOut({ added, renewed, beside }, folder) {
  const names = (/** @type {string[]} */ files) => files.filter((file) => file.endsWith(".ipynb")).join(", ");
  console.log(`Your lessons: ${folder}`);
  if (names(added)) console.log(`  new: ${names(added)}`);
  if (names(renewed)) console.log(`  renewed, as you had not changed them: ${names(renewed)}`);
  for (const { lesson, newVersion } of beside) {
    console.log(
      `  ${lesson} has a newer version; you have changed yours, so it is kept, and the new one is beside it:`,
    );
    console.log(`    ${path.join(folder, newVersion)}`);
  }
}
