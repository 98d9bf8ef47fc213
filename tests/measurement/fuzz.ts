/**
 * Looks for files that do harm, led by what parts of the library a file reaches: one that reaches something new is kept
 * and damaged further. What does harm is written to the corpus, under a name made of its bytes; so is, with KEEP, a small set of
 * small files that together reach all that was reached.
 *
 * From the repository's root, bundled so that little else runs beside it:
 *
 *     npx esbuild tests/measurement/fuzz.ts --bundle --platform=node --outfile=/tmp/fuzz.js && node /tmp/fuzz.js [SECONDS] [SEED] [KEEP]
 */
import { createHash } from "node:crypto";
import { writeFileSync } from "node:fs";
import { Session } from "node:inspector";
import { join } from "node:path";
import { damageTrace, damageWav, soundTraces, soundWavs } from "./mutate";
import { traceOrdeal, wavOrdeal } from "./ordeal";
import { type Seeded, seeded } from "./seeded";

const seconds = Number(process.argv[2] ?? 60);
const random = seeded(Number(process.argv[3] ?? 1));
const keep = process.argv[4] === "KEEP";
const largest = 20_000;
const small = 1000;

search("wav", [...soundWavs()], damageWav, wavOrdeal);
search(
  "csv",
  soundTraces.map((text) => new TextEncoder().encode(text)),
  damageTrace,
  traceOrdeal,
);

function search(
  kind: string,
  pool: Uint8Array[],
  damage: (bytes: Uint8Array, random: Seeded) => Uint8Array,
  ordeal: (bytes: Uint8Array) => unknown,
): void {
  const reached = coverage();
  const seen = new Set<string>();
  const found = new Set<string>();
  const reach = new Map<Uint8Array, Set<string>>();
  const end = performance.now() + (seconds * 1000) / 2;
  let tried = 0;
  for (; performance.now() < end; tried++) {
    const bytes = tried < pool.length ? pool[tried] : damage(pool[random.below(pool.length)], random);
    try {
      ordeal(bytes);
    } catch (error) {
      const message = (error as Error).message;
      const like = message.replace(/\d+/g, "0").slice(0, 60);
      if (!found.has(like)) {
        found.add(like);
        console.log(`${toCorpus(bytes, kind)} (${bytes.length} bytes): ${message}`);
      }
    }
    const positions = reached();
    const fresh = positions.filter((position) => !seen.has(position));
    if (keep && fresh.length > 0 && bytes.length <= small) reach.set(bytes, new Set(positions));
    for (const position of fresh) seen.add(position);
    if (fresh.length > 0 && bytes.length <= largest && tried >= pool.length) pool.push(bytes);
  }
  console.log(
    `${kind}: ${tried} files tried, ${seen.size} places reached, ${pool.length} files kept, ${found.size} do harm`,
  );
  if (keep) for (const bytes of coverOf(reach)) toCorpus(bytes, kind);
}

function toCorpus(bytes: Uint8Array, kind: string): string {
  const name = `${createHash("sha256").update(bytes).digest("hex").slice(0, 12)}.${kind}`;
  writeFileSync(join("tests/measurement/corpus", name), bytes);
  return name;
}

/** Files that together reach all places, each the one that adds most. How often a place was reached doesn't count here. */
function coverOf(reach: ReadonlyMap<Uint8Array, ReadonlySet<string>>): Uint8Array[] {
  const sets = [...reach].map(([bytes, positions]) => ({
    bytes,
    positions: new Set([...positions].map((p) => p.split("×")[0])),
  }));
  const cover: Uint8Array[] = [];
  while (sets.length > 0) {
    const best = sets.reduce((a, b) => (b.positions.size > a.positions.size ? b : a));
    if (best.positions.size === 0) break;
    cover.push(best.bytes);
    const covered = [...best.positions];
    for (const { positions } of sets) for (const position of covered) positions.delete(position);
  }
  return cover;
}

/** What has run since the last call: blocks of this bundle, each with the order of magnitude of how often. */
function coverage(): () => string[] {
  const session = new Session();
  session.connect();
  session.post("Profiler.enable");
  session.post("Profiler.startPreciseCoverage", { callCount: true, detailed: true });
  return () => {
    const positions: string[] = [];
    // A session on its own thread answers before `post` returns.
    session.post("Profiler.takePreciseCoverage", (_, { result }) => {
      for (const { url, functions } of result) {
        if (!url.endsWith(__filename)) continue;
        for (const { ranges } of functions) {
          for (const { startOffset, endOffset, count } of ranges) {
            if (count > 0) positions.push(`${startOffset}-${endOffset}×${Math.ceil(Math.log2(count))}`);
          }
        }
      }
    });
    return positions;
  };
}
