// @ts-check
/** Runs the hub until the teacher ends it, and again where it falls over: students' servers go on meanwhile. */
import { spawn } from "node:child_process";
import { randomBytes } from "node:crypto";
import { once } from "node:events";
import { closeSync, openSync, readFileSync, writeFileSync } from "node:fs";
import path from "node:path";
import { root } from "../../setup/places.mjs";
import { lastWords } from "../../setup/run.mjs";
import { SetupError } from "../../setup/setup-error.mjs";
import { untilAnswering } from "../../setup/until-answering.mjs";
import { freePort } from "../../start/free-port.mjs";
import { jupyterOptions, writePageSettings } from "../../start/jupyter-options.mjs";
import { accountsOf } from "./accounts.mjs";
import { memoryLeft, startAhead } from "./ahead.mjs";
import { courseId } from "./exchange.mjs";
import { endAllOf, endLeftovers } from "./leftovers.mjs";
import { proxyCommand } from "./proxy.mjs";

const mostFalls = 20;

/**
 * @param {string} environment  the class's virtual environment
 * @param {import("./options.mjs").ClassOptions} options
 * @returns {Promise<number>} exit code
 */
export async function serveClass(environment, options) {
  await freePort(options.port);
  writeSettings(options);
  const given = {
    ...options,
    course: root,
    environment,
    node: process.execPath,
    proxy: proxyCommand,
    hubPort: await freePort(undefined, 8081),
    proxyPort: await freePort(undefined, 8151),
    // With it servers are started and stopped, and nothing else.
    token: randomBytes(24).toString("hex"),
    serverArguments: serverArguments(options),
    // Variables that students' servers get as well, by name and a comma between: those of a network's proxy, say.
    keep: (process.env.EVENGROUND_CLASS_KEEP ?? "").split(",").filter(Boolean),
  };
  const state = path.join(options.folder, "state");
  const logFile = path.join(state, "log.txt");
  const address = `${options.cert ? "https" : "http"}://${options.host}:${options.port}`;
  let stopping = false;
  /** @type {import("node:child_process").ChildProcess | undefined} */
  let hub;
  const stop = () => {
    if (stopping) return;
    stopping = true;
    console.log("\nStopping every server …");
    hub?.kill("SIGTERM");
  };
  for (const signal of ["SIGINT", "SIGTERM", "SIGHUP"]) process.on(signal, stop);

  const tellReady = (/** @type {number} */ running) => {
    const all = options.students.length;
    if (stopping) return;
    console.log(
      running === all
        ? "Every student's server runs already."
        : `${running} of ${all} students' servers run already; the others start as their students log in.`,
    );
  };

  for (let falls = 0; ; falls++) {
    const log = openSync(logFile, falls ? "a" : "w", 0o600);
    hub = spawn(
      path.join(environment, "bin", "jupyterhub"),
      ["-f", path.join(root, "scripts", "class", "server", "jupyterhub_config.py")],
      {
        cwd: state,
        env: {
          ...withoutJupyter(process.env),
          PATH: `${path.join(environment, "bin")}:${path.dirname(process.execPath)}:/usr/bin:/bin`,
          EVENGROUND_CLASS: JSON.stringify(given),
        },
        stdio: ["ignore", log, log],
        detached: true,
      },
    );
    closeSync(log);
    const started = Date.now();
    const ended = once(hub, "exit").catch(() => undefined);
    const answers = untilAnswering(
      `http://127.0.0.1:${given.hubPort}/hub/health`,
      () => hub?.exitCode !== null,
    );
    if (await answers) {
      if (falls === 0) {
        console.log(`\nThe class is open at\n\n  ${address}\n\nPress Ctrl-C here to end it for everyone.`);
        startAhead(options.students, { ...given, goesOn: () => !stopping && memoryLeft() }).then(tellReady);
      } else console.log("The hub runs again; nobody's work was touched.");
    }
    await ended;
    endLeftovers(stopping ? given : { hubPort: given.hubPort });
    if (stopping) {
      endAllOf(accountsOf(options));
      console.log("Stopped.");
      return 0;
    }
    if (Date.now() - started < 20_000 || falls >= mostFalls) {
      endLeftovers(given);
      throw new SetupError(
        `JupyterHub does not keep running. It said (all of it in ${logFile}):\n  ${lastWords(readFileSync(logFile, "utf8").slice(-8000))}`,
      );
    }
    console.error("The hub has ended by itself and is started again. Open notebooks go on meanwhile.");
  }
}

/**
 * What `npm start` gives a student's own JupyterLab, less what the hub decides.
 *
 * @param {import("./options.mjs").ClassOptions} options
 */
function serverArguments({ idle, oneAccount }) {
  // Carrying one's work home is for those who work elsewhere than at home.
  const withTakeHome = (/** @type {string} */ option) =>
    option.replace("'quick_kernels': True", "'quick_kernels': True, 'take_home': True");
  const decided = /allow-root|\.ip=|\.port|root_dir|open_browser|default_url/;
  return [
    ...jupyterOptions({ folder: "", page: "", port: 0, browser: false })
      .filter((option) => !decided.test(option))
      .map(withTakeHome),
    ...(oneAccount && process.getuid?.() === 0 ? ["--allow-root"] : []),
    "--KernelManager.transport=ipc",
    `--MappingKernelManager.cull_idle_timeout=${idle * 60}`,
    "--MappingKernelManager.cull_interval=120",
  ];
}

/**
 * For everyone: the page's own settings, and nbgrader's: which course, and where exercises go to and fro.
 *
 * @param {import("./options.mjs").ClassOptions} options
 */
function writeSettings({ folder, oneAccount }) {
  const settings = path.join(folder, "settings");
  writePageSettings(settings, menuOfClass);
  const text = `c = get_config()
c.CourseDirectory.course_id = ${JSON.stringify(courseId)}
c.Exchange.root = ${JSON.stringify(path.join(folder, "exchange"))}
`;
  // nbgrader hands in under the account's name, which is everybody's here: the name of the log-in instead.
  const whose = `import os
c.CourseDirectory.student_id = os.environ.get("JUPYTERHUB_USER", "*")
`;
  writeFileSync(path.join(settings, "nbgrader_config.py"), oneAccount ? `${text}${whose}` : text);
}

/** What the page's menus have beside the usual. */
const menuOfClass = {
  "@jupyterlab/mainmenu-extension:plugin": {
    menus: [{ id: "jp-mainmenu-file", items: [{ command: "evenground:take-home", rank: 3.5 }] }],
  },
};

/** @param {NodeJS.ProcessEnv} env */
const withoutJupyter = (env) =>
  Object.fromEntries(Object.entries(env).filter(([key]) => !/^(JUPYTER|IPYTHON|PYTHON|npm_)/i.test(key)));
