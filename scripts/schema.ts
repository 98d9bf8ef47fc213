/**
 * Writes data/venue.schema.json, which editors use for completion and hints while one writes a venue file.
 *
 *   npx ts-node scripts/schema.ts
 */
import { execFileSync } from "node:child_process";
import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { venueJsonSchema } from "../lib/venue/json-schema";

const root = join(__dirname, "..");
const target = join(root, "data", "venue.schema.json");
writeFileSync(target, `${JSON.stringify(venueJsonSchema(), null, 2)}\n`);
const biome = join(root, "node_modules", "@biomejs", "biome", "bin", "biome");
execFileSync(
  process.execPath,
  [biome, "format", `--config-path=${join(root, ".biome.json")}`, "--write", target],
  {
    stdio: ["ignore", "ignore", "inherit"],
  },
);
console.log(`wrote ${target}`);
