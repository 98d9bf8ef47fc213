// @ts-check
/** `npm run generated`: makes anew the files that are kept in the repository but written by a program. */
import { spawnSync } from "node:child_process";
import { requireNode } from "./setup/node-version.mjs";
import { ensureNpmPackages } from "./setup/npm-packages.mjs";
import { inRoot } from "./setup/places.mjs";
import { runCommand } from "./setup/setup-error.mjs";

runCommand(async () => {
  requireNode();
  await ensureNpmPackages();
  const { runTypeScript } = await import("./setup/run-typescript.mjs");
  for (const file of ["schema.ts", "kernel/build.ts"]) {
    const code = await runTypeScript(inRoot("scripts", file), []);
    if (code !== 0) return code;
  }
  return spawnSync(process.execPath, [inRoot("scripts", "wasm.mjs")], { stdio: "inherit" }).status ?? 1;
});
