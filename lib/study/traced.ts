/** A trace file of a show. */
import type { Response } from "../acoustics/response";
import { traceAt } from "../measurement/trace/read";
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
  const limit = { most: fileLimit("trace"), remedy: `keep fewer points; ${raiseLimit}` };
  const trace = traceAt(full, name, limit);
  warnings.push(...trace.warnings);
  return trace;
}
