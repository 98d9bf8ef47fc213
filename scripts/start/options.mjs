// @ts-check
import { readOptions } from "../setup/options.mjs";

/**
 * @param {readonly string[]} args
 * @returns {{ browser: boolean, port?: number, work?: string } | undefined} nothing where only help was wanted
 */
export function readStartOptions(args) {
  const read = readOptions(args, {
    call: "npm start",
    options: {
      "no-browser": { says: "prints the address instead of opening it" },
      port: {
        value: "NUMBER",
        says: "the port to serve on (default 8890, or the next free one)",
        whole: [1024, 65535],
      },
      work: {
        value: "FOLDER",
        says: "where your copies of the lessons lie (default work/; kept for the next start;\nEVENGROUND_WORK does the same for one start)",
      },
    },
    more: "What needs no option: EVENGROUND_PYTHON names the Python to build the private environment from.",
  });
  return read && { browser: !read.values.noBrowser, port: read.values.port, work: read.values.work };
}
