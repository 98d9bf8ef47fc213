/** A trace file of a show. */
import { readFileSync, statSync } from "node:fs";
import type { Response } from "../acoustics/response";
import { MeasurementFileError } from "../measurement/file-error";
import { readTrace } from "../measurement/trace/read";
import { fileLimit, raiseLimit } from "./file-limits";
import { insideFolder, type Show } from "./read-show";

/**
 * Reads it within the limits of its size.
 *
 * @param name   of the file in the show's folder
 * @param where  in the show file it is named
 * @param warnings  is added to
 */
export function traced(show: Show, name: string, where: string, warnings: string[]): Response {
  const full = insideFolder(show.folder, name, show.fileName, where);
  const most = fileLimit("trace");
  if (statSync(full).size > most) {
    throw new MeasurementFileError(
      "trace",
      name,
      "size",
      `is over ${most} bytes`,
      `keep fewer points; ${raiseLimit}`,
    );
  }
  const trace = readTrace(readFileSync(full, "utf8"), name);
  warnings.push(...trace.warnings);
  return trace;
}
