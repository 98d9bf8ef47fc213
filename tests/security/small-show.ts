/** A small show whose every free text is the caller's: names in the venue, notes, comments in traces, file names. */
import { mkdirSync, mkdtempSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import path from "node:path";
import type { Response } from "../../lib/acoustics/response";
import { modelSurvey } from "../../lib/field/model-survey";
import { writeTrace } from "../../lib/measurement/trace/write";
import { standFor } from "../../lib/study/stand-for";
import { readVenue } from "../../lib/venue/file/read";

/**
 * @param word  a name for the nth thing that bears one; at most 80 characters
 * @param long  a longer text: notes, story
 * @returns the show as parsed JSON, so that tests may break it
 */
export function smallShow(word: (n: number) => string, long = word(0)) {
  const venue = {
    name: word(1),
    story: long,
    units: "m",
    air: { temperature: 20, relativeHumidity: 50 },
    materials: { [word(2)]: { "125": 0.05, "1000": 0.05 } },
    cabinets: {
      [word(3)]: { size: { width: 0.5, height: 0.3, depth: 0.4 }, level: 97, pattern: { kind: "omni" } },
    },
    mains: [
      {
        name: word(4),
        cabinet: word(3),
        top: { x: 0.3, y: 5, z: 6 },
        elements: 2,
        aim: { down: 10 },
        splay: [5],
        mirror: true,
      },
    ],
    subs: [{ name: word(5), layout: "pair", cabinet: word(3), position: { x: 0.5, y: 3, z: 0.2 } }],
    audience: [
      {
        name: word(6),
        front: { x: 3, width: 10 },
        back: { x: 18, width: 10 },
        earHeight: 1.2,
        density: 0.5,
      },
    ],
    boundaries: [
      {
        name: word(7),
        corners: [
          { x: -2, y: 8, z: 0 },
          { x: -2, y: -8, z: 0 },
          { x: -2, y: -8, z: 8 },
          { x: -2, y: 8, z: 8 },
        ],
        absorption: word(2),
      },
      {
        name: word(8),
        corners: [
          { x: -2, y: 8, z: 0 },
          { x: -2, y: -8, z: 0 },
          { x: 20, y: -8, z: 0 },
          { x: 20, y: 8, z: 0 },
        ],
        absorption: 0.1,
      },
    ],
    frontOfHouse: { front: { x: 12, width: 3 }, back: { x: 14, width: 3 }, earHeight: 1.5 },
    positions: [
      { id: word(9), point: { x: 4, y: 1, z: 1.2 } },
      { id: word(10), point: { x: 10, y: -2, z: 1.2 } },
      { id: word(11), point: { x: 13, y: 0.5, z: 1.5 } },
    ],
  };
  const positions = venue.positions.map((position) => position.id);
  const traces = (playing: string) =>
    Object.fromEntries(positions.map((position, i) => [position, `${playing}-${i}.csv`]));
  const show = {
    name: word(12),
    venue: "venue.json",
    notes: long,
    measuredBy: word(13),
    measuredOn: word(14).slice(0, 40),
    takes: ["mains", "subs", "both"].map((playing) => ({ playing, traces: traces(playing) })),
  };
  return { venue, show };
}

export type SmallShow = ReturnType<typeof smallShow>;

/**
 * Puts a show into a new folder, with traces as the model of its venue has them.
 *
 * @param remark  stands in every trace as a comment and as the name of a column that nobody asked for
 * @returns the folder
 */
export function writeSmallShow({ venue, show }: SmallShow, remark = "none"): string {
  const folder = path.join(mkdtempSync(path.join(tmpdir(), "evenground-show-")), "show");
  mkdirSync(folder);
  writeFileSync(path.join(folder, "venue.json"), JSON.stringify(venue));
  writeFileSync(path.join(folder, "show.json"), JSON.stringify(show));
  const read = readVenue(JSON.stringify(venue), "venue.json");
  const survey = modelSurvey(read, standFor(read, read.positions));
  read.positions.forEach((_, i) => {
    const [mains, subs] = [survey.mains[i], survey.subs[i]];
    for (const [name, response] of Object.entries({ mains, subs, both: sum(mains, subs) })) {
      const text = `# remark: ${remark}\n${writeTrace(response)}`;
      const column = `"${remark.replaceAll('"', "'")}"`;
      const lines = text.trimEnd().split(/\r?\n/);
      const header = lines.findIndex((line) => !line.startsWith("#"));
      const wider = lines.map((line, k) =>
        k < header ? line : `${line},${k === header ? column.replaceAll(",", " ") : 0}`,
      );
      writeFileSync(path.join(folder, `${name}-${i}.csv`), `${wider.join("\n")}\n# ${remark}\n`);
    }
  });
  return folder;
}

const sum = (a: Response, b: Response): Response => ({
  frequency: a.frequency,
  re: a.re.map((x, i) => x + b.re[i]),
  im: a.im.map((x, i) => x + b.im[i]),
});
