// @ts-check
/** Passwords of the class: made for everyone at the start, told once, kept as hashes that only the hub's account reads. */
import { randomBytes, randomInt, scryptSync } from "node:crypto";
import { existsSync, mkdirSync, readFileSync, writeFileSync } from "node:fs";
import path from "node:path";
import { rename } from "../../setup/patient-files.cjs";
import { SetupError } from "../../setup/setup-error.mjs";

/** Cost of a guess: 16 MB and some 50 ms (RFC 7914). `passwords.py` reads it from the hash. */
const cost = { N: 16_384, r: 8, p: 1 };
/** Without letters and digits that look alike; 12 of 31 are 59 bits. */
const letters = "abcdefghjkmnpqrstuvwxyz23456789";

/**
 * @param {string} state  the folder of what the hub remembers
 * @param {readonly string[]} names  everyone who may come in
 * @param {{ readonly given?: string, readonly anew?: readonly string[] }} options  `given`: a file with a name and a password a
 *   line; `anew`: who shall have another one
 * @returns {Map<string, string>} the passwords that were made now, by name: nobody can tell them later
 */
export function ensurePasswords(state, names, { given, anew = [] }) {
  mkdirSync(state, { recursive: true, mode: 0o700 });
  const file = path.join(state, "passwords.json");
  /** @type {{ [name: string]: string }} */
  const before = existsSync(file) ? JSON.parse(readFileSync(file, "utf8")) : {};
  const stranger = anew.find((name) => !names.includes(name));
  if (stranger) throw new SetupError(`There is no ${stranger} in the class: look at the list of names.`);
  const chosen = given ? passwordsIn(given, names) : new Map();
  const made = new Map();
  const hashes = Object.fromEntries(
    names.map((name) => {
      const own = chosen.get(name);
      if (own !== undefined) return [name, hashOf(own)];
      if (Object.hasOwn(before, name) && !anew.includes(name)) return [name, before[name]];
      const password = newPassword();
      made.set(name, password);
      return [name, hashOf(password)];
    }),
  );
  writeFileSync(`${file}.part`, `${JSON.stringify(hashes, null, 1)}\n`, { mode: 0o600 });
  rename(`${file}.part`, file);
  return made;
}

const newPassword = () =>
  Array.from({ length: 3 }, () =>
    Array.from({ length: 4 }, () => letters[randomInt(letters.length)]).join(""),
  ).join("-");

/** @param {string} password */
function hashOf(password) {
  const salt = randomBytes(16);
  const hash = scryptSync(password, salt, 32, cost);
  return ["scrypt", cost.N, cost.r, cost.p, salt.toString("base64"), hash.toString("base64")].join("$");
}

/**
 * @param {string} file
 * @param {readonly string[]} names
 */
function passwordsIn(file, names) {
  const chosen = new Map();
  for (const [i, line] of readFileSync(file, "utf8").split(/\r?\n/).entries()) {
    if (line.trim() === "" || line.startsWith("#")) continue;
    const [, name, password = ""] = /^\s*(\S+)\s+(.*?)\s*$/.exec(line) ?? [];
    if (!name || !names.includes(name))
      throw new SetupError(`${file}, line ${i + 1}: there is no such name in the class.`);
    if (password.length < 8)
      throw new SetupError(
        `${file}, line ${i + 1}: the password of ${name} is short, expected 8 characters or more.`,
      );
    chosen.set(name, password);
  }
  return chosen;
}
