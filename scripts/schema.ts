/**
 * Writes the JSON Schemas in data/: of the venue file and the show file, which editors use for completion and hints, and
 * of a study's result, which documents it for programs that read one.
 *
 *   npx ts-node scripts/schema.ts
 */
import { execFileSync } from "node:child_process";
import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { showJsonSchema } from "../lib/study/show-json-schema";
import { venueJsonSchema } from "../lib/venue/file/json-schema";
import { resultJsonSchema } from "./schema/result";

const root = join(__dirname, "..");
const schemas = {
  "venue.schema.json": venueJsonSchema,
  "show.schema.json": showJsonSchema,
  "study-result.schema.json": resultJsonSchema,
};
for (const [name, schema] of Object.entries(schemas)) {
  const target = join(root, "data", name);
  writeFileSync(target, `${JSON.stringify(schema(), null, 2)}\n`);
  const biome = join(root, "node_modules", "@biomejs", "biome", "bin", "biome");
  execFileSync(
    process.execPath,
    [biome, "format", `--config-path=${join(root, ".biome.json")}`, "--write", target],
    { stdio: ["ignore", "ignore", "inherit"] },
  );
  console.log(`wrote ${target}`);
}
