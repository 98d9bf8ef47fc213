/** A show folder's door: the show file and its venue read and checked, and paths held inside the folder. */
import { existsSync, readdirSync, realpathSync, statSync } from "node:fs";
import path from "node:path";
import { readPlainFile, textOf, UnreadableFile } from "../files/read";
import { explain, suggest, wordIssue } from "../venue/file/explain";
import { formerShowKeys, withCurrentKeys } from "../venue/file/former-keys";
import { parseJson } from "../venue/file/json";
import { listOfProblems, type Problem } from "../venue/file/problems";
import { readVenue } from "../venue/file/read";
import type { Venue } from "../venue/venue";
import { fileLimit, raiseLimit } from "./file-limits";
import { positionOf } from "./position-of";
import { allTakes, type ShowFile, showFile } from "./show-file";

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
    super(listOfProblems(`show "${fileName}"`, problems));
    this.name = "ShowFileError";
    this.stack = `${this.name}: ${this.message}`;
  }
}

/**
 * A show from its folder: the show file, and the venue that it names. Recordings and traces are read when it is measured or
 * studied.
 *
 * @param showPath  path of the show file, or of a folder that holds `show.json`; a relative one starts from where the
 *   notebook lies
 * @returns the show, its venue in metres, seconds and decibels
 * @throws ShowFileError, or VenueFileError for the venue: every problem found, each with its path in the file
 * @source JSON: RFC 8259; the schema (data/show.schema.json): own way, no outside source; check:
 *   tests/study/bad-input.test.ts
 * @example
 * const load = read.show(read.example("harbour-theatre"));
 * load.file.takes.map((take) => take.playing) // ["mains", "subs", "both"]
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
  } = withCurrentKeys(
    parseShow(readText(whole(full, fileName), fileName, fileName), fileName),
    fileName,
    formerShowKeys,
  );
  if (unclear.length) throw new ShowFileError(fileName, unclear);
  const parsed = showFile.safeParse(content, { error: wordIssue });
  if (!parsed.success) throw new ShowFileError(fileName, explain(parsed.error.issues));
  const written = parsed.data;
  const venuePath = insideFolder(folder, written.venue, fileName, "venue");
  const venue = readVenue(readText(venuePath, fileName, written.venue), written.venue, fileLimit("venue"));
  const show = asVenueSpells(written, venue);
  const problems = [
    ...droppedPositions(content),
    ...checkPositions(show, venue),
    ...checkMarks(show, venue),
    ...checkParts(show),
  ];
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
 * The path of a file that a show names, links followed, which must lie in the show's folder.
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
    throw refuse(
      `names ${JSON.stringify(name)}, which is not in the show's folder${likeNamed(folder, name)}`,
    );
  }
  const real = realpathSync(full);
  if (leaves(realpathSync(folder), real)) {
    throw refuse(`is a link that leads out of the show's folder: copy the file there instead`);
  }
  if (!statSync(real).isFile()) throw refuse(`is ${JSON.stringify(name)}, which is not a file`);
  return real;
}

/**
 * A show made elsewhere may write a name otherwise: in other capitals, as Windows takes them, or its accents as letters of their
 * own, as some Macs keep them (Unicode's forms C and D), which no eye can tell apart.
 */
function likeNamed(folder: string, name: string): string {
  const parts = path.normalize(name).split(path.sep);
  const found: string[] = [];
  for (const part of parts) {
    const at = path.join(folder, ...found);
    const beside = existsSync(at) && statSync(at).isDirectory() ? readdirSync(at) : [];
    const same = beside.find((n) => n === part) ?? beside.find((n) => plain(n) === plain(part));
    if (!same) return "";
    found.push(same);
  }
  const there = found.join("/");
  const onlyForm = there.normalize("NFC") === parts.join("/").normalize("NFC");
  return onlyForm
    ? `; there is ${JSON.stringify(there)}, whose accents are stored in another form of Unicode: name the file anew, or copy its name into the show file`
    : `; there is ${JSON.stringify(there)}, so write it like that`;
}

const plain = (name: string) => name.normalize("NFC").toLowerCase();

/** The show file itself is held to its folder like all that it names. */
function whole(full: string, fileName: string): string {
  if (existsSync(full)) return insideFolder(path.dirname(full), fileName, fileName, "");
  const text = `there is no file "${fileName}" at ${path.dirname(full)}`;
  throw new ShowFileError(fileName, [{ path: "", text }]);
}

function readText(full: string, fileName: string, name: string): string {
  try {
    return textOf(readPlainFile(full, fileLimit("text")));
  } catch (error) {
    if (!(error instanceof UnreadableFile)) throw error;
    const remedy = error.reason === "too large" ? `; ${raiseLimit}` : "";
    throw new ShowFileError(fileName, [
      { path: "", text: `${JSON.stringify(name)} ${error.message}${remedy}` },
    ]);
  }
}

function parseShow(text: string, fileName: string): unknown {
  try {
    return parseJson(text);
  } catch (error) {
    throw new ShowFileError(fileName, [{ path: "", text: (error as Error).message }]);
  }
}

/** The schema's records leave out the one key that JavaScript has a use of its own for, without a word. */
function droppedPositions(content: unknown): Problem[] {
  return allTakes(content as ShowFile).flatMap(({ take, where }) =>
    Object.entries(take)
      .filter(([, value]) => value !== null && typeof value === "object" && Object.hasOwn(value, "__proto__"))
      .map(([key]) => ({
        path: `${where}.${key}["__proto__"]`,
        text: "is a name that no position can have here, expected another one",
      })),
  );
}

/** Every position must be one of the venue's, and a part of one recording or trace at a position is given once. */
function checkPositions(show: ShowFile, venue: Venue): Problem[] {
  const known = venue.positions.map((p) => p.id);
  const problems: Problem[] = [];
  const seen = new Map<string, Map<string, string>>();
  for (const { take, where: path, isVerification } of allTakes(show)) {
    const playing = isVerification ? "the verification" : take.playing;
    const key = "traces" in take ? "traces" : "microphones";
    const positions = Object.keys("traces" in take ? take.traces : take.microphones);
    for (const position of positions) {
      const where = `${path}.${key}[${JSON.stringify(position)}]`;
      if ("traces" in take ? !known.includes(position) : !positionOf(position, venue.positions))
        problems.push({ path: where, text: lacking(position, venue) });
      // Takes may repeat each other, but not be each other; traces carry no error to average them by.
      const made = "traces" in take ? "" : `${take.recording} ${take.from} ${take.to}`;
      const others = seen.get(`${playing} ${position}`) ?? new Map<string, string>();
      const before =
        others.get(made) ?? others.get("") ?? (made === "" ? [...others.values()][0] : undefined);
      if (before) problems.push({ path: where, text: `gives ${playing} again, as ${before} does` });
      seen.set(`${playing} ${position}`, others.set(made, where));
    }
  }
  return problems;
}

function lacking(position: string, venue: Venue): string {
  const known = venue.positions.map((p) => p.id);
  const has = known.length ? `it has ${known.slice(0, 12).join(", ")}` : "it has no positions at all";
  return `names a position that the venue "${venue.name}" lacks${suggest(position, known)}; ${has}`;
}

/** What a walk passes is drawn, for its path is that from one to the next. */
const checkMarks = ({ walks = [] }: ShowFile, venue: Venue): Problem[] =>
  walks.flatMap(({ marks }, i) =>
    marks.flatMap(({ position }, k) =>
      venue.positions.some(({ id }) => id === position)
        ? []
        : [{ path: `walks[${i}].marks[${k}].position`, text: lacking(position, venue) }],
    ),
  );

/** Names of positions whose accents are stored in another form of Unicode than the venue's are the venue's. */
function asVenueSpells(show: ShowFile, venue: Venue): ShowFile {
  const ids = new Map(venue.positions.map((p) => [p.id.normalize("NFC"), p.id]));
  const spelt = <T>(by: Readonly<Record<string, T>>): Record<string, T> => {
    const names = Object.keys(by).map((name) => {
      const around = positionOf(
        name.normalize("NFC"),
        [...ids.keys()].map((id) => ({ id })),
      );
      return around === undefined ? name : `${ids.get(around)}${name.normalize("NFC").slice(around.length)}`;
    });
    // Two that become one stay as they are, and are told as unknown.
    return new Set(names).size < names.length
      ? { ...by }
      : Object.fromEntries(Object.values(by).map((value, i) => [names[i], value]));
  };
  const renamed = <
    T extends
      | { readonly traces: Readonly<Record<string, string>> }
      | {
          readonly microphones: Readonly<Record<string, number>>;
          readonly delays?: Readonly<Record<string, number>>;
        },
  >(
    take: T,
  ): T =>
    "traces" in take
      ? { ...take, traces: spelt(take.traces) }
      : {
          ...take,
          microphones: spelt(take.microphones),
          ...(take.delays && { delays: spelt(take.delays) }),
        };
  const walks = show.walks?.map((walk) => ({
    ...walk,
    marks: walk.marks.map(({ position, at }) => ({
      position: ids.get(position.normalize("NFC")) ?? position,
      at,
    })),
  }));
  const { verification } = show;
  return {
    ...show,
    takes: show.takes.map(renamed),
    ...(walks && { walks }),
    ...(verification && { verification: { ...verification, takes: verification.takes.map(renamed) } }),
  };
}

/** A part of a recording must end after it begins. */
function checkParts(show: ShowFile): Problem[] {
  const { microphoneMatch, noiseFloor, walks = [] } = show;
  const all = [
    ...allTakes(show).map(({ take, where }) => [where, take] as const),
    ...walks.map((walk, i) => [`walks[${i}]`, walk] as const),
    ["microphoneMatch", microphoneMatch] as const,
    ["noiseFloor", noiseFloor] as const,
  ];
  return all.flatMap(([path, part]) => {
    if (!part || !("to" in part) || part.to === undefined || part.to > (part.from ?? 0)) return [];
    return [{ path: `${path}.to`, text: `is ${part.to} s, expected more than "from", ${part.from ?? 0} s` }];
  });
}

function withTemperature(venue: Venue, temperature: number | undefined): Venue {
  return temperature === undefined ? venue : { ...venue, air: { ...venue.air, temperature } };
}
