import { readOptions } from "../setup/options.mjs";

export interface StudyCall {
  readonly show: string;
  readonly out?: string;
  readonly seats: number;
  readonly pdf: boolean;
}

/** What `npm run study` takes; nothing where only help was wanted. */
export function readStudyOptions(args: readonly string[]): StudyCall | undefined {
  const read = readOptions(args, {
    call: "npm run study",
    words: [
      {
        name: "SHOW",
        needed: true,
        says: "a show file, or a folder with show.json in it\n(try data/shows/harbour-theatre)",
      },
    ],
    options: {
      out: {
        value: "FOLDER",
        says: "where the result and the report go (default results/NAME OF THE SHOW'S FOLDER)",
      },
      seats: {
        value: "N",
        says: "about how many seats the model computes (default 2000)",
        whole: [10, 20_000],
        usual: 2000,
      },
      pdf: {
        says: "prints the reports as PDF too; needs a browser of the Chromium family\n(EVENGROUND_BROWSER names one that is not found)",
      },
    },
  });
  if (!read) return undefined;
  const { out, seats, pdf } = read.values;
  return { show: read.words[0], out, seats, pdf };
}
