/** The show file's JSON Schema, for editors. */
import { z } from "zod";
import { showFile } from "./show-file";

export function showJsonSchema(): object {
  return { ...z.toJSONSchema(showFile, { io: "input" }), title: "Evenground show file" };
}
