// @ts-check
import { readFileSync } from "node:fs";
import { readOptions } from "../../setup/options.mjs";
import { inRoot } from "../../setup/places.mjs";
import { SetupError } from "../../setup/setup-error.mjs";

/**
 * @typedef {{ students: string[], list: string, teacher: string, folder: string, port: number, host: string, cert?: string, key?: string,
 *   memory: number, idle: number, oneAccount: boolean, domain?: string, passwords?: string, anew: string[] }} ClassOptions
 *
 * @param {readonly string[]} args
 * @returns {ClassOptions | undefined} nothing where only help was wanted
 */
export function readClassOptions(args) {
  const read = readOptions(args, {
    call: "npm run class",
    options: {
      students: {
        value: "FILE",
        needed: true,
        place: "file",
        says: "the class list: a name for each student, one a line (small letters, digits, - and _); who is added while the class is open may come in at once",
      },
      teacher: { value: "NAME", says: "who may see and stop servers (default teacher)", usual: "teacher" },
      folder: {
        value: "FOLDER",
        place: "any",
        says: "where work, passwords and the exchange of exercises lie (default class/)",
        usual: inRoot("class"),
      },
      port: { value: "NUMBER", says: "default 8000", whole: [1, 65535], usual: 8000 },
      host: {
        value: "ADDRESS",
        says: "default 127.0.0.1, this computer alone; another address asks for the next two",
        usual: "127.0.0.1",
      },
      "tls-cert": { value: "FILE", place: "file", says: "certificate …" },
      "tls-key": { value: "FILE", place: "file", says: "… and its key" },
      memory: {
        value: "MEGABYTES",
        says: "the most that one kernel may use (default 1500)",
        whole: [300, 1_000_000],
        usual: 1500,
      },
      idle: {
        value: "MINUTES",
        says: "a server that nobody has used for so long is stopped; its files stay (default 60)",
        whole: [1, 100_000],
        usual: 60,
      },
      passwords: {
        value: "FILE",
        place: "file",
        says: "a name and a password a line; for others one is made and shown once",
      },
      "new-password": {
        value: "NAME",
        says: "makes another one for this name, tells it and ends: it holds at once, in a class that is open as well; several with commas between",
      },
      domain: {
        value: "NAME",
        says: "each student's pages under STUDENT.NAME, where your school has such names and a certificate for them",
      },
      "one-account": {
        says: "everyone's work under your own account: to try it out, or where students trust each other",
      },
    },
    more: "Run as root: each student then works under an account of their own, and cannot read what others wrote.",
  });
  if (!read) return undefined;
  const {
    host,
    tlsCert: cert,
    tlsKey: key,
    oneAccount,
    domain,
    passwords,
    newPassword,
    ...rest
  } = read.values;
  if (process.platform === "win32") {
    throw new SetupError(
      "The class server does not run on Windows: use Linux there (WSL, or another machine); students may use any system.",
    );
  }
  if (!oneAccount && (process.getuid?.() !== 0 || process.platform !== "linux")) {
    throw new SetupError(
      "To keep students' work apart, each needs an account of their own: run this as root on Linux (sudo npm run class -- …), or give --one-account, where everyone can read everyone's work.",
    );
  }
  if (!cert !== !key) throw new SetupError("--tls-cert and --tls-key go together: give both.");
  if (!/^[\w.:-]+$/.test(host))
    throw new SetupError(`--host is ${JSON.stringify(host)}, expected an address.`);
  if (!cert && !["127.0.0.1", "localhost", "::1"].includes(host)) {
    throw new SetupError(
      `--host ${host} is reached from other computers, and passwords must not travel in the clear: give --tls-cert and --tls-key, or leave the host and put a server with TLS before it.`,
    );
  }
  if (domain !== undefined && !/^[a-z0-9-]+(\.[a-z0-9-]+)+$/.test(domain))
    throw new SetupError(
      `--domain is ${JSON.stringify(domain)}, expected a name such as class.school.example.`,
    );
  const anew = newPassword ? newPassword.split(",") : [];
  const teacher = nameOf(rest.teacher, "--teacher");
  const students = studentsIn(rest.students).filter((name) => name !== teacher);
  const { folder, port, memory, idle } = rest;
  return {
    students,
    list: rest.students,
    teacher,
    folder,
    port,
    host,
    cert,
    key,
    memory,
    idle,
    oneAccount,
    domain,
    passwords,
    anew,
  };
}

/**
 * @param {string} file
 * @returns {string[]} the names, each once
 * @throws SetupError with the line where one can't be a name
 */
export function studentsIn(file) {
  const lines = readFileSync(file, "utf8")
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
