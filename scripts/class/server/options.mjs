// @ts-check
import { existsSync, readFileSync, statSync } from "node:fs";
import path from "node:path";
import { parseArgs } from "node:util";
import { inRoot } from "../../setup/places.mjs";
import { SetupError } from "../../setup/setup-error.mjs";

const help = `npm run class -- --students FILE [options]

  --students FILE      the class list: a name for each student, one a line (small letters, digits, - and _)
  --teacher NAME       who may see and stop servers (default teacher)
  --folder FOLDER      where work, passwords and the exchange of exercises lie (default class/)
  --port NUMBER        default 8000
  --host ADDRESS       default 127.0.0.1, this computer alone; another address asks for the next two
  --tls-cert FILE      certificate …
  --tls-key FILE       … and its key
  --memory MEGABYTES   the most that one kernel may use (default 1500)
  --idle MINUTES       a server that nobody has used for so long is stopped; its files stay (default 60)
  --one-account        everyone's work under your own account: to try it out, or where students trust each other

Run as root: each student then works under an account of their own, and cannot read what others wrote.`;

/**
 * @typedef {{ students: string[], teacher: string, folder: string, port: number, host: string, cert?: string, key?: string,
 *   memory: number, idle: number, oneAccount: boolean }} ClassOptions
 *
 * @param {string[]} args
 * @returns {ClassOptions | undefined} nothing where only help was wanted
 */
export function readClassOptions(args) {
  /** @type {Record<string, any>} */
  let values;
  try {
    const text = /** @type {const} */ ({ type: "string" });
    ({ values } = parseArgs({
      args,
      options: {
        students: text,
        teacher: text,
        folder: text,
        port: text,
        host: text,
        "tls-cert": text,
        "tls-key": text,
        memory: text,
        idle: text,
        "one-account": { type: "boolean" },
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
  if (process.platform === "win32") {
    throw new SetupError(
      "The class server does not run on Windows: use Linux there (WSL, or another machine); students may use any system.",
    );
  }
  const oneAccount = values["one-account"] === true;
  if (!oneAccount && (process.getuid?.() !== 0 || process.platform !== "linux")) {
    throw new SetupError(
      "To keep students' work apart, each needs an account of their own: run this as root on Linux (sudo npm run class -- …), or give --one-account, where everyone can read everyone's work.",
    );
  }
  const host = values.host ?? "127.0.0.1";
  const cert = fileOf(values["tls-cert"], "--tls-cert");
  const key = fileOf(values["tls-key"], "--tls-key");
  if (!cert !== !key) throw new SetupError("--tls-cert and --tls-key go together: give both.");
  if (!/^[\w.:-]+$/.test(host))
    throw new SetupError(`--host is ${JSON.stringify(host)}, expected an address.`);
  if (!cert && !["127.0.0.1", "localhost", "::1"].includes(host)) {
    throw new SetupError(
      `--host ${host} is reached from other computers, and passwords must not travel in the clear: give --tls-cert and --tls-key, or leave the host and put a server with TLS before it.`,
    );
  }
  const teacher = nameOf(values.teacher ?? "teacher", "--teacher");
  return {
    students: studentsIn(values.students).filter((name) => name !== teacher),
    teacher,
    folder: path.resolve(process.env.INIT_CWD ?? process.cwd(), values.folder ?? inRoot("class")),
    port: whole(values.port, "--port", 1, 65535, 8000),
    host,
    cert,
    key,
    memory: whole(values.memory, "--memory", 300, 1_000_000, 1500),
    idle: whole(values.idle, "--idle", 1, 100_000, 60),
    oneAccount,
  };
}

/** @param {string | undefined} file */
function studentsIn(file) {
  if (file === undefined) throw new SetupError(`--students is missing: who is in the class?\n\n${help}`);
  const text = readFileSync(/** @type {string} */ (fileOf(file, "--students")), "utf8");
  const lines = text
    .split(/\r?\n/)
    .map((line, i) => ({ name: line.trim(), where: `${file}, line ${i + 1}:` }));
  const names = lines
    .filter(({ name }) => name !== "" && !name.startsWith("#"))
    .map(({ name, where }) => nameOf(name, where));
  if (names.length === 0) throw new SetupError(`${file} holds no name: write one a line.`);
  const twice = names.find((name, i) => names.indexOf(name) !== i);
  if (twice)
    throw new SetupError(`${file} holds the name ${twice} twice: give each student a name of their own.`);
  return names;
}

/**
 * @param {string} name
 * @param {string} where
 */
function nameOf(name, where) {
  if (/^[a-z][a-z0-9_-]{0,30}$/.test(name)) return name;
  throw new SetupError(
    `${where} ${JSON.stringify(name.slice(0, 60))} can't be a name here, expected up to 31 of small letters, digits, - and _, a letter first.`,
  );
}

/**
 * @param {string | undefined} file
 * @param {string} option
 */
function fileOf(file, option) {
  if (file === undefined) return undefined;
  const full = path.resolve(process.env.INIT_CWD ?? process.cwd(), file);
  if (!existsSync(full)) throw new SetupError(`${option} names ${full}, which is not there: check its path.`);
  if (!statSync(full).isFile()) throw new SetupError(`${option} names ${full}, which is not a file.`);
  return full;
}

/**
 * @param {string | undefined} text
 * @param {string} option
 * @param {number} least
 * @param {number} most
 * @param {number} usual
 */
function whole(text, option, least, most, usual) {
  const number = text === undefined ? usual : Number(text);
  if (text?.trim() !== "" && Number.isInteger(number) && number >= least && number <= most) return number;
  throw new SetupError(
    `${option} is ${JSON.stringify(text)}, expected a whole number from ${least} to ${most}.`,
  );
}
