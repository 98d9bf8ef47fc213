// @ts-check
/** Jupyter's own folders, kept in the repository so that nothing in the user's home is read or written. */
import { chmodSync, mkdirSync } from "node:fs";
import path from "node:path";
import { inRoot } from "./places.mjs";

/** @returns {NodeJS.ProcessEnv} the environment for every Jupyter process that we start */
export function jupyterEnvironment() {
  const home = inRoot(".jupyter");
  const env = { ...process.env };
  for (const key of Object.keys(env))
    if (/^(JUPYTER|JUPYTERLAB|IPYTHON|PYTHONPATH|PYTHONHOME)/.test(key)) delete env[key];
  for (const [key, folder] of Object.entries({
    JUPYTER_CONFIG_DIR: "config",
    JUPYTER_DATA_DIR: "data",
    JUPYTER_RUNTIME_DIR: "runtime",
    JUPYTERLAB_SETTINGS_DIR: "settings",
    JUPYTERLAB_WORKSPACES_DIR: "workspaces",
    IPYTHONDIR: "ipython",
  })) {
    env[key] = path.join(home, folder);
    mkdirSync(path.join(home, folder), { recursive: true });
    // Tokens, and what was opened, are nobody else's on a shared computer; of the kernel's own folders beside these others read.
    chmodSync(path.join(home, folder), 0o700);
  }
  return {
    ...env,
    JUPYTER_PREFER_ENV_PATH: "1",
    JUPYTER_PLATFORM_DIRS: "1",
    PYTHONNOUSERSITE: "1",
    PYTHONPATH: inRoot("scripts", "jupyter"),
  };
}
