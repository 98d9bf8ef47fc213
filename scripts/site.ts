/** `npm run site [-- --as-it-ran]`: the course as static files in site/: the book that runs, JupyterLab in the browser, a first page. */
import { writeFileSync } from "node:fs";
import path from "node:path";
import { makeBook } from "./book/make";
import { offlineScript } from "./book/offline";
import { readBookOptions } from "./book/options";
import { inRoot } from "./setup/places.mjs";
import { ensurePython, siteEnvironment } from "./setup/python-env.mjs";
import { runCommand } from "./setup/setup-error.mjs";
import { buildJupyterLite } from "./site/jupyterlite";
import { startPage } from "./site/start-page";

runCommand(async () => {
  const options = readBookOptions("npm run site", process.argv.slice(2));
  if (!options) return 0;
  const site = inRoot("site");
  const python = await ensurePython(siteEnvironment, "JupyterLite");
  const { failed, parts } = await makeBook(path.join(site, "book"), options.asItRan);
  await buildJupyterLite(path.join(site, "jupyter"), { python, parts });
  writeFileSync(path.join(site, "index.html"), startPage);
  writeFileSync(path.join(site, "offline.js"), offlineScript(site, ["index.html"], 0));
  console.log(
    `\nThe course is ready as a folder of files:\n\n  ${site}\n\nPut it on any web space. book/index.html opens from a disk as well; JupyterLab needs a web server.`,
  );
  return failed ? 1 : 0;
});
