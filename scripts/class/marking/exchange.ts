/** The exchange, by which nbgrader's list in JupyterLab carries notebooks to students and back. It belongs to the teacher. */
import { spawnSync } from "node:child_process";
import { createHash } from "node:crypto";
import {
  chmodSync,
  closeSync,
  constants,
  existsSync,
  fstatSync,
  lstatSync,
  mkdirSync,
  openSync,
  readdirSync,
  readFileSync,
} from "node:fs";
import path from "node:path";
import { contentOf } from "../../../lib/files/read";
import { writeWhole } from "../../../lib/files/write";
import { SetupError } from "../../setup/setup-error.mjs";
import { layOut } from "../server/exchange.mjs";
import { largest } from "./notebook";

/** Puts a notebook where students fetch it. */
export function release(exchange: string, assignment: string, notebook: string): void {
  const { outbound } = layOut(exchange);
  const folder = path.join(outbound, assignment);
  mkdirSync(folder, { recursive: true });
  chmodSync(folder, 0o755);
  const file = path.join(folder, `${assignment}.ipynb`);
  writeWhole(file, notebook);
  chmodSync(file, 0o644);
}

export interface Collected {
  readonly students: readonly string[];
  /** What was left where it is, and why. */
  readonly refused: readonly string[];
}

/**
 * Copies the newest notebook of each student, if it is theirs: folder and file must belong to the account in whose name they were
 * handed in, and be a folder and a file.
 *
 * @param submitted  where to: STUDENT/ASSIGNMENT/NOTEBOOK
 * @param accountOf  the number of a student's account; of who collects where one account serves all
 */
export function collect(
  exchange: string,
  assignment: string,
  submitted: string,
  accountOf: (student: string) => number | undefined = systemAccount,
): Collected {
  const { inbound } = layOut(exchange);
  const refused: string[] = [];
  const newest = new Map<
    string,
    { readonly stamp: string; readonly bytes: Uint8Array; readonly secret: string }
  >();
  for (const folder of readdirSync(inbound).sort()) {
    const [student, name, stamp = ""] = folder.split("+");
    if (name !== assignment) continue;
    try {
      if (!/^[a-z_][a-z0-9_.-]{0,31}$/.test(student)) throw new Error("its name is no student's");
      const account = accountOf(student);
      if (account === undefined) throw new Error(`there is no account ${student}`);
      const bytes = handedIn(path.join(inbound, folder), `${assignment}.ipynb`, account);
      const secret = secretIn(path.join(inbound, folder), account);
      if ((newest.get(student)?.stamp ?? "") <= stamp) newest.set(student, { stamp, bytes, secret });
    } catch (error) {
      refused.push(`${folder}: ${(error as Error).message}`);
    }
  }
  for (const [student, { bytes, stamp, secret }] of newest) {
    const into = path.join(submitted, student, assignment);
    mkdirSync(into, { recursive: true, mode: 0o700 });
    writeWhole(path.join(into, `${assignment}.ipynb`), bytes);
    writeWhole(path.join(into, RECEIPT), `${JSON.stringify({ student, stamp, secret })}\n`);
  }
  return { students: [...newest.keys()], refused };
}

/** By which nbgrader finds a notebook's feedback again; nothing where its version keeps none. */
function secretIn(folder: string, account: number): string {
  const name = "submission_secret.txt";
  if (!lstatSync(path.join(folder, name), { throwIfNoEntry: false })) return "";
  const text = Buffer.from(handedIn(folder, name, account)).toString("latin1");
  if (!/^[0-9a-f]{32,512}$/.test(text)) throw new Error(`${name} holds no secret`);
  return text;
}

/** What is known of a notebook that came by the exchange. */
const RECEIPT = "receipt.json";

/**
 * Puts a page where nbgrader's *Fetch Feedback* looks for it: under the MD5 of the submission's secret and the notebook's name.
 * Nobody can list that folder.
 *
 * @param submitted  the student's folder of this assignment
 * @returns false where the notebook did not come by the exchange, or before it kept a secret
 */
export function releaseFeedback(
  exchange: string,
  assignment: string,
  submitted: string,
  html: string,
): boolean {
  const file = path.join(submitted, RECEIPT);
  if (!existsSync(file)) return false;
  const { secret } = JSON.parse(readFileSync(file, "utf8")) as { secret: string };
  if (!secret) return false;
  const { feedback } = layOut(exchange);
  const name = createHash("md5").update(secret).update(assignment).digest("hex");
  const place = path.join(feedback, `${name}.html`);
  writeWhole(place, html);
  chmodSync(place, 0o644);
  return true;
}

/** Opened before it is looked at, so that nothing can be put in its place between; a link at its end is not followed. */
function handedIn(folder: string, name: string, account: number): Uint8Array {
  const there = lstatSync(folder);
  if (!there.isDirectory()) throw new Error("it is no folder");
  if (there.uid !== account) throw new Error("it was not handed in by the account whose name it bears");
  let handle: number;
  try {
    handle = openSync(
      path.join(folder, name),
      constants.O_RDONLY | constants.O_NOFOLLOW | constants.O_NONBLOCK,
    );
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException;
    const why = { ENOENT: "is not there", ELOOP: "is a link" }[code ?? ""];
    throw new Error(`${name} ${why ?? `can't be opened (${code})`}`);
  }
  try {
    const stat = fstatSync(handle);
    if (!stat.isFile()) throw new Error(`${name} is no file`);
    if (stat.uid !== account || stat.nlink !== 1) throw new Error(`${name} is another account's file`);
    if (stat.size > largest) throw new Error(`${name} is ${stat.size} bytes, expected at most ${largest}`);
    return contentOf(handle, stat.size, largest);
  } finally {
    closeSync(handle);
  }
}

function systemAccount(student: string): number | undefined {
  const { status, stdout } = spawnSync("id", ["-u", "--", student], { encoding: "utf8" });
  return status === 0 ? Number(stdout) : undefined;
}

/** nbgrader's exchange refuses to run on Windows, where notebooks are handed out and collected by hand. */
export const hasExchange = (platform: string = process.platform): boolean => platform !== "win32";

/** @throws SetupError where nothing can be collected */
export function requireExchange(submitted: string, platform?: string): void {
  if (hasExchange(platform)) return;
  throw new SetupError(
    `There is no exchange on Windows: put what was handed in into ${submitted} as STUDENT/ASSIGNMENT/NOTEBOOK, then mark it.`,
  );
}
