// @ts-check
import { parseArgs } from "node:util";
import { SetupError } from "../setup/setup-error.mjs";

const help = `npm start -- [--no-browser] [--port NUMBER] [--work FOLDER]

  --no-browser    prints the address instead of opening it
  --port NUMBER   the port to serve on (default 8890, or the next free one)
  --work FOLDER   where your copies of the lessons lie (default work/; kept for the next start;
                  EVENGROUND_WORK does the same for one start)

What needs no option: EVENGROUND_PYTHON names the Python to build the private environment from.`;

/**
 * @param {string[]} args
 * @returns {{ browser: boolean, port?: number, work?: string } | undefined} nothing where only help was wanted
 */
export function readOptions(args) {
  /** @type {Record<string, any>} */
  let values;
  try {
    ({ values } = parseArgs({
      args,
      options: {
        "no-browser": { type: "boolean" },
        port: { type: "string" },
        work: { type: "string" },
        help: { type: "boolean", short: "h" },
      },
    }));
  } catch (error) {
    throw new SetupError(`${/** @type {Error} */ (error).message}\n\n${help}`);
  }
  if (values.help) {
    console.log(help);
    return undefined;
  }
  return {
    browser: !values["no-browser"],
    port: readPort(values.port),
    work: values.work,
  };
}

/** @param {string | undefined} text */
function readPort(text) {
  if (text === undefined) return undefined;
  const port = Number(text);
  if (!Number.isInteger(port) || port < 1024 || port > 65535) {
    throw new SetupError(`--port is ${JSON.stringify(text)}, expected a whole number from 1024 to 65535.`);
  }
  return port;
}
