/**
 * Compiles scripts/assembly/spectra.ts (AssemblyScript) to WebAssembly and writes it as a module that needs no file at run time.
 *
 *     node scripts/wasm.mjs           writes lib/measurement/spectra-wasm.ts
 *     node scripts/wasm.mjs --check   says whether that file still belongs to its source
 */
import { readFileSync, writeFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import asc from "assemblyscript/asc";

const root = fileURLToPath(new URL("..", import.meta.url));
const target = `${root}/lib/measurement/spectra-wasm.ts`;

let binary;
const { error, stderr } = await asc.main(
  [
    "scripts/assembly/spectra.ts",
    "--outFile",
    "spectra.wasm",
    "-O3",
    "--runtime",
    "stub",
    "--noAssert",
    "--importMemory",
    "--enable",
    "simd",
  ],
  {
    readFile: (name) => {
      try {
        return readFileSync(`${root}/${name}`, "utf8");
      } catch {
        return null;
      }
    },
    writeFile: (_, contents) => {
      binary = contents;
    },
    listFiles: () => [],
  },
);
if (error) {
  console.error(stderr.toString());
  process.exit(1);
}
const lines = Buffer.from(binary)
  .toString("base64")
  .match(/.{1,100}/g);
const text = `/** Compiled from scripts/assembly/spectra.ts by \`npm run wasm\`; not written by hand. */
export const spectraWasm =
${lines.map((line) => `  "${line}"`).join(" +\n")};
`;
if (process.argv.includes("--check")) {
  if (readFileSync(target, "utf8") !== text) {
    console.error("spectra-wasm.ts does not belong to scripts/assembly/spectra.ts: run `npm run wasm`");
    process.exit(1);
  }
} else {
  writeFileSync(target, text);
}
