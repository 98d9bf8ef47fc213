/** Runs nbgrader in the instructor's folder, with settings that follow from where the course lies. */
import { spawn } from "node:child_process";
import { once } from "node:events";
import { mkdirSync, writeFileSync } from "node:fs";
import path from "node:path";
import { jupyterEnvironment } from "../../setup/jupyter-home.mjs";
import { kernelName, writeKernel } from "../../setup/kernel.mjs";
import { inRoot, pythonOf } from "../../setup/places.mjs";
import { ensurePython } from "../../setup/python-env.mjs";
import { lastWords, run } from "../../setup/run.mjs";
import { SetupError } from "../../setup/setup-error.mjs";

const environment = {
  folder: inRoot(".venv-grading"),
  lock: inRoot("scripts", "requirements", "grading.txt"),
};

/** The same as the class server tells its students. */
const course = "evenground";

/** What a student finds where the solution was. */
const stub = '// YOUR CODE HERE\nthrow new Error("nothing is written here yet");';

/** Sets up nbgrader and its kernel. */
export async function ensureNbgrader(): Promise<void> {
  await ensurePython(environment, "nbgrader");
  writeKernel(environment.folder);
}

/** Writes the settings; they hold absolute paths, so they are written at each command. */
export function writeSettings({ folder, exchange }: { folder: string; exchange: string }): void {
  mkdirSync(exchange, { recursive: true });
  const text = `# Written by npm run grade; changes here are lost.
import sys

sys.path.insert(0, ${JSON.stringify(inRoot("scripts", "class", "marking"))})
from give_points import GivePoints
from nbgrader.converters.autograde import Autograde

c = get_config()
c.CourseDirectory.course_id = ${JSON.stringify(course)}
c.CourseDirectory.root = ${JSON.stringify(folder)}
c.Exchange.root = ${JSON.stringify(exchange)}
c.ClearSolutions.code_stub = {"typescript": ${JSON.stringify(stub)}}
c.ExecutePreprocessor.kernel_name = ${JSON.stringify(kernelName)}
c.ExecutePreprocessor.timeout = 300
c.Execute.timeout = 300
c.OverwriteCells.add_missing_cells = True
c.Autograde.create_student = True
steps = list(Autograde.autograde_preprocessors.default_args[0])
names = [step.__name__ for step in steps]
steps.insert(names.index("SaveAutoGrades"), GivePoints)
c.Autograde.autograde_preprocessors = steps
`;
  writeFileSync(path.join(folder, "nbgrader_config.py"), text);
}

/** nbgrader calls programs of its environment by name. */
function gradingEnvironment() {
  const programs = path.dirname(pythonOf(environment.folder));
  return { ...jupyterEnvironment(), PATH: `${programs}${path.delimiter}${process.env.PATH ?? ""}` };
}

/**
 * @param folder  the instructor's
 * @returns what it said
 * @throws SetupError when it failed
 */
export async function nbgrader(folder: string, args: readonly string[]): Promise<string> {
  const { code, output } = await run(pythonOf(environment.folder), ["-m", "nbgrader", ...args], {
    cwd: folder,
    env: gradingEnvironment(),
  });
  if (code !== 0) {
    const log = path.join(folder, "nbgrader.log");
    writeFileSync(log, output);
    throw new SetupError(`nbgrader ${args[0]} failed:\n  ${lastWords(output)}\n  All it said is in ${log}.`);
  }
  return output;
}

/** nbgrader's own pages, until they are closed by Ctrl-C. */
export async function nbgraderPages(folder: string): Promise<void> {
  const args = ["-m", "jupyterlab", "--no-browser", `--ServerApp.root_dir=${folder}`];
  const child = spawn(pythonOf(environment.folder), args, {
    cwd: folder,
    env: gradingEnvironment(),
    stdio: "inherit",
  });
  process.on("SIGINT", () => {}); // the server hears it as well, and ends by itself
  await once(child, "close");
}
