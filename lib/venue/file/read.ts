/** The door: a venue file's text in, a checked venue in SI out, or every mistake in the file at once. */

import type { Venue } from "../venue";
import { checkVenue } from "./checks";
import { expandVenue } from "./expand";
import { explain, wordIssue } from "./explain";
import { formerVenueKeys, withCurrentKeys } from "./former-keys";
import { JsonSyntaxError, parseJson } from "./json";
import { VenueFileError } from "./problems";
import { venueRemarks } from "./remarks";
import { venueFile } from "./schema/file";
import { inMetres, writeLength } from "./units";

const LONGEST = 1_000_000; // characters; the largest venue that a person writes has a few ten thousand

/**
 * A venue from the text of its file.
 *
 * @param text  the file's content, JSON as data/venue.schema.json describes it, its lengths in metres or feet
 * @param fileName  the file's name, for messages
 * @param longest  the most characters that it may have. Default 1,000,000
 * @returns the venue in metres, seconds and decibels, its hangs and layouts made into sources
 * @throws VenueFileError with all problems of the file: each with its path, the value found and what was expected
 * @source JSON: RFC 8259; the schema: own way, no outside source; check: tests/venue/file/read.test.ts,
 *   tests/venue/file/schema.test.ts
 * @example
 * const box = { size: { width: 1, height: 0.6, depth: 0.8 }, level: 97, pattern: { kind: "omni" } };
 * const pa = { name: "pa", cabinet: "box", top: { x: 0, y: 4, z: 4 }, elements: 2, splay: [2], mirror: true };
 * const sub = { name: "sub", layout: "single", cabinet: "box", position: { x: 0, y: 0, z: 0.3 } };
 * const lawn = { name: "lawn", front: { x: 3, width: 8 }, back: { x: 15, width: 8 }, earHeight: 1.6, density: 2 };
 * const frontOfHouse = { front: { x: 9, width: 3 }, back: { x: 11, width: 3 }, earHeight: 1.6 };
 * const yard = { name: "Yard", story: "Grass.", cabinets: { box }, mains: [pa], subs: [sub], audience: [lawn], frontOfHouse };
 * read.venueText(JSON.stringify(yard), "yard.json").audience[0].density // 2
 */
export function readVenue(text: string, fileName: string, longest = LONGEST): Venue {
  if (text.length > longest) {
    const text_ = `is ${text.length} characters long, expected at most ${longest}`;
    throw new VenueFileError(fileName, [{ path: "", text: text_ }]);
  }
  const {
    content,
    remarks,
    problems: unclear,
  } = withCurrentKeys(parse(text, fileName), fileName, formerVenueKeys);
  if (unclear.length) throw new VenueFileError(fileName, unclear);
  const result = venueFile.safeParse(content, { error: wordIssue });
  if (!result.success) throw new VenueFileError(fileName, explain(result.error.issues));
  const file = inMetres(result.data);
  const { venue, origins, problems } = expandVenue(file);
  const write = writeLength(result.data.units);
  const all = problems.length ? problems : checkVenue(venue, file, origins, write);
  if (all.length) throw new VenueFileError(fileName, all);
  const timed = file.room !== undefined && "reverberationTime" in file.room;
  const said = [
    ...remarks,
    ...venueRemarks(venue, timed, result.data.units).map((text) => `${fileName}: ${text}`),
  ];
  return said.length ? { ...venue, remarks: said } : venue;
}

function parse(text: string, fileName: string): unknown {
  try {
    return parseJson(text);
  } catch (error) {
    if (!(error instanceof JsonSyntaxError)) throw error;
    throw new VenueFileError(fileName, [{ path: "", text: error.message }]);
  }
}
