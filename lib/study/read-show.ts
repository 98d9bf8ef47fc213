/** A show folder's door: the show file and its venue read and checked, and paths held inside the folder. */
import { existsSync, readdirSync, readFileSync, realpathSync, statSync } from "node:fs";
import path from "node:path";
import { explain, suggest, wordIssue } from "../venue/file/explain";
import { formerShowKeys, withCurrentKeys } from "../venue/file/former-keys";
import { parseJson } from "../venue/file/json";
import type { Problem } from "../venue/file/problems";
import { readVenue } from "../venue/file/read";
import type { Venue } from "../venue/venue";
import { fileLimit, raiseLimit } from "./file-limits";
import { type ShowFile, showFile } from "./show-file";

/** A show, ready to be worked on. */
export interface Show {
  readonly file: ShowFile;
  readonly venue: Venue;
  /** Absolute path of the show's folder. */
  readonly folder: string;
  /** Name of the show file, for messages. */
  readonly fileName: string;
  /** What is to be said of its files although they could be read: keys that have another name now. */
  readonly remarks: readonly string[];
}

/** Thrown where a show can't be started at all; the message is a sentence, or a list of them. */
export class ShowFileError extends Error {
  constructor(fileName: string, problems: readonly Problem[]) {
    const lines = problems.map(({ path: where, text }) => (where ? `${where} ${text}` : text));
    super(
      lines.length === 1
        ? `show "${fileName}": ${lines[0]}`
        : `show "${fileName}" has ${lines.length} problems:\n${lines.map((line) => `  ${line}`).join("\n")}`,
    );
    this.name = "ShowFileError";
    this.stack = `${this.name}: ${this.message}`;
  }
}

/**
 * Reads a show file and the venue it names.
 *
 * @param showPath  path of the show file, or of a folder that holds `show.json`
 * @throws ShowFileError, or VenueFileError for the venue: every problem found, each with its place in the file
 */
export function readShow(showPath: string): Show {
  const given = path.resolve(showPath);
  const full = existsSync(given) && statSync(given).isDirectory() ? path.join(given, "show.json") : given;
  const fileName = path.basename(full);
  const folder = path.dirname(full);
  const {
    content,
    remarks,
    problems: unclear,
  } = withCurrentKeys(parseShow(readText(full, fileName, fileName), fileName), fileName, formerShowKeys);
  if (unclear.length) throw new ShowFileError(fileName, unclear);
  const parsed = showFile.safeParse(content, { error: wordIssue });
  if (!parsed.success) throw new ShowFileError(fileName, explain(parsed.error.issues));
  const show = parsed.data;
  const venuePath = insideFolder(folder, show.venue, fileName, "venue");
  const venue = readVenue(readText(venuePath, fileName, show.venue), show.venue, fileLimit("venue"));
  const problems = checkPositions(show, venue);
  if (problems.length) throw new ShowFileError(fileName, problems);
  return {
    file: show,
    venue: withTemperature(venue, show.settings?.temperature),
    folder,
    fileName,
    remarks: [...remarks, ...(venue.remarks ?? [])],
  };
}

/**
 * The path of a file that a show names, which must lie in the show's folder, links followed.
 *
 * @param folder  the show's folder
 * @param name  the file's name as the show gives it
 * @param fileName  the show file, for messages
 * @param where  the field that names it
 */
export function insideFolder(folder: string, name: string, fileName: string, where: string): string {
  const full = path.resolve(folder, name);
  const refuse = (text: string) => new ShowFileError(fileName, [{ path: where, text }]);
  const leaves = (base: string, target: string) => {
    const relative = path.relative(base, target);
    return relative === ".." || relative.startsWith(`..${path.sep}`) || path.isAbsolute(relative);
  };
  if (name.includes("\0") || leaves(folder, full)) {
    throw refuse(`is ${JSON.stringify(name)}, expected a file inside the show's folder: copy it there`);
  }
  if (!existsSync(full)) {
    throw refuse(`names ${JSON.stringify(name)}, which is not in the show's folder${otherCapitals(full)}`);
  }
  if (leaves(realpathSync(folder), realpathSync(full))) {
    throw refuse(`is a link that leads out of the show's folder: copy the file there instead`);
  }
  if (!statSync(full).isFile()) throw refuse(`is ${JSON.stringify(name)}, which is not a file`);
  return full;
}

/** A show made where capitals are one, as on Windows, may write a name in others. */
function otherCapitals(full: string): string {
  const folder = path.dirname(full);
  const beside = existsSync(folder) && statSync(folder).isDirectory() ? readdirSync(folder) : [];
  const found = beside.find((name) => name.toLowerCase() === path.basename(full).toLowerCase());
  return found ? `; there is ${JSON.stringify(found)}, so write it like that` : "";
}

function readText(full: string, fileName: string, name: string): string {
  const refuse = (text: string) => new ShowFileError(fileName, [{ path: "", text }]);
  if (!existsSync(full)) throw refuse(`there is no file "${name}" at ${path.dirname(full)}`);
  const { size } = statSync(full);
  const most = fileLimit("text");
  if (size > most) throw refuse(`"${name}" is ${size} bytes, expected at most ${most}; ${raiseLimit}`);
  return readFileSync(full, "utf8");
}

function parseShow(text: string, fileName: string): unknown {
  try {
    return parseJson(text);
  } catch (error) {
    throw new ShowFileError(fileName, [{ path: "", text: (error as Error).message }]);
  }
}

/** Every position must be one of the venue's, and stand once for each of mains, subs and both. */
function checkPositions(show: ShowFile, venue: Venue): Problem[] {
  const known = venue.positions.map((p) => p.id);
  const problems: Problem[] = [];
  const seen = new Map<string, string>();
  show.takes.forEach((take, i) => {
    const key = "traces" in take ? "traces" : "microphones";
    const positions = Object.keys("traces" in take ? take.traces : take.microphones);
    for (const position of positions) {
      const where = `takes[${i}].${key}[${JSON.stringify(position)}]`;
      if (!known.includes(position)) {
        const has = known.length ? `it has ${known.slice(0, 12).join(", ")}` : "it has no positions at all";
        problems.push({
          path: where,
          text: `names a position that the venue "${venue.name}" lacks${suggest(position, known)}; ${has}`,
        });
      }
      const before = seen.get(`${take.playing} ${position}`);
      if (before) problems.push({ path: where, text: `gives ${take.playing} again, as ${before} does` });
      seen.set(`${take.playing} ${position}`, where);
    }
  });
  return problems;
}

function withTemperature(venue: Venue, temperature: number | undefined): Venue {
  return temperature === undefined ? venue : { ...venue, air: { ...venue.air, temperature } };
}
