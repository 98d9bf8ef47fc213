/**
 * Writes what is made from data/ and for it: the names of the course's venues and shows, which editors complete, and the
 * JSON Schemas: of the venue file and the show file, which editors use for completion and hints, and
 * of a study's result, which documents it for programs that read one.
 *
 *   npx ts-node scripts/schema.ts
 */
import { execFileSync } from "node:child_process";
import { existsSync, readdirSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { showJsonSchema } from "../lib/study/show-json-schema";
import { venueJsonSchema } from "../lib/venue/file/json-schema";
import { resultJsonSchema } from "./schema/result";

const root = join(__dirname, "..");
const biome = join(root, "node_modules", "@biomejs", "biome", "bin", "biome");

const venues = readdirSync(join(root, "data", "venues"))
  .filter((file) => file.endsWith(".json"))
  .map((file) => file.slice(0, -".json".length));
const shows = readdirSync(join(root, "data", "shows")).filter((folder) =>
  existsSync(join(root, "data", "shows", folder, "show.json")),
);
write(
  join(root, "lib", "lesson", "examples", "names.generated.ts"),
  `/** Names of the course's venues and shows, as they lie in data/. Made by \`npm run generated\`. */
export type ExampleVenue = ${union(venues)};
export type ExampleShow = ${union(shows)};
`,
);

const schemas = {
  "venue.schema.json": venueJsonSchema,
  "show.schema.json": showJsonSchema,
  "study-result.schema.json": resultJsonSchema,
};
for (const [name, schema] of Object.entries(schemas)) {
  write(join(root, "data", name), `${JSON.stringify(schema(), null, 2)}\n`);
}

function union(names: readonly string[]): string {
  return [...names]
    .sort()
    .map((name) => JSON.stringify(name))
    .join(" | ");
}

function write(target: string, text: string): void {
  writeFileSync(target, text);
  execFileSync(
    process.execPath,
    [biome, "format", `--config-path=${join(root, ".biome.json")}`, "--write", target],
    { stdio: ["ignore", "ignore", "inherit"] },
  );
  console.log(`wrote ${target}`);
}
