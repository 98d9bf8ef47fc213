// @ts-check
/** How JupyterLab is run for a student: on loopback, offline, only our kernel, only the student's files in sight. */
import { mkdirSync, writeFileSync } from "node:fs";
import path from "node:path";
import { dist } from "../build/state.mjs";
import { kernelName } from "../setup/kernel.mjs";
import { inRoot } from "../setup/places.mjs";

/**
 * @param {{ folder: string, page: string, port: number, browser: boolean }} options
 * @returns {string[]} its command line
 */
export function jupyterOptions({ folder, page, port, browser }) {
  writePageSettings(inRoot(".jupyter", "config"));
  return [
    "--allow-root",
    "--ServerApp.ip=127.0.0.1",
    `--ServerApp.port=${port}`,
    "--ServerApp.port_retries=0",
    `--ServerApp.root_dir=${folder}`,
    `--ServerApp.open_browser=${browser ? "True" : "False"}`,
    `--ServerApp.extra_static_paths=${JSON.stringify([path.join(dist, "static")])}`,
    `--ContentsManager.hide_globs=${JSON.stringify(["node_modules", "__pycache__"])}`,
    `--KernelSpecManager.allowed_kernelspecs=${kernelName}`,
    "--KernelSpecManager.ensure_native_kernel=False",
    `--MappingKernelManager.default_kernel_name=${kernelName}`,
    "--ServerApp.terminals_enabled=False",
    `--LabApp.extra_labextensions_path=${inRoot("scripts", "jupyter", "extensions")}`,
    // ours, and none that only a terminal or an older page needs
    "--ServerApp.jpserver_extensions={'quick_kernels': True, 'jupyter_server_terminals': False, 'notebook_shim': False}",
    // else it looks for other languages' tools on the computer, and runs them to ask what they are
    "--LanguageServerManager.autodetect=False",
    "--LabApp.extension_manager=readonly",
    "--LabApp.check_for_updates_class=jupyterlab.NeverCheckForUpdate",
    "--LabApp.news_url=None",
    `--LabApp.default_url=${page}`,
  ];
}

/**
 * Settings of the page itself; a student's own choices in its menus go before these.
 *
 * @param {string} config  a folder in which Jupyter looks for its settings
 * @param {object} [more]  settings beside these, by plugin
 */
export function writePageSettings(config, more = {}) {
  const folder = path.join(config, "labconfig");
  mkdirSync(folder, { recursive: true });
  const settings = {
    "@jupyterlab/apputils-extension:notification": {
      checkForUpdates: false,
      fetchNews: "false",
      doNotDisturbMode: true,
    },
    "@jupyterlab/extensionmanager-extension:plugin": { enabled: false },
    ...more,
  };
  writeFileSync(
    path.join(folder, "default_setting_overrides.json"),
    `${JSON.stringify(settings, null, 2)}\n`,
  );
}
