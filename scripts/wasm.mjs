/**
 * Compiles AssemblyScript to WebAssembly and writes each as a module that needs no file at run time.
 *
 *     node scripts/wasm.mjs           writes the files below
 *     node scripts/wasm.mjs --check   says whether they still belong to their sources
 */
import { readFileSync, writeFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import asc from "assemblyscript/asc";

const root = fileURLToPath(new URL("..", import.meta.url));
const modules = [
  {
    source: "scripts/assembly/spectra.ts",
    target: "lib/measurement/spectra/spectra.generated.ts",
    name: "spectraWasm",
  },
  {
    source: "scripts/assembly/path-sum.ts",
    target: "lib/field/path-sum/path-sum.generated.ts",
    name: "pathSumWasm",
  },
  {
    source: "scripts/assembly/seat-costs.ts",
    target: "lib/decision/offset/seat-costs.generated.ts",
    name: "seatCostsWasm",
  },
  {
    source: "scripts/assembly/waves.ts",
    target: "lib/field/waves/waves.generated.ts",
    name: "wavesWasm",
  },
];
for (const { source, target, name } of modules) {
  const text = `/** Compiled from ${source} by \`npm run wasm\`; not written by hand. */
export const ${name} =
${(await compiled(source)).map((line) => `  "${line}"`).join(" +\n")};
`;
  if (!process.argv.includes("--check")) writeFileSync(`${root}/${target}`, text);
  else if (readFileSync(`${root}/${target}`, "utf8") !== text) {
    console.error(`${target} does not belong to ${source}: run \`npm run wasm\``);
    process.exit(1);
  }
}

/**
 * @param {string} source
 * @returns {Promise<string[]>} lines of base64
 */
async function compiled(source) {
  /** @type {Uint8Array | undefined} */
  let binary;
  const { error, stderr } = await asc.main(
    [
      source,
      "--outFile",
      "module.wasm",
      "-O3",
      "--memoryBase",
      "64",
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
        binary = /** @type {Uint8Array} */ (contents);
      },
      listFiles: () => [],
    },
  );
  if (error || !binary) {
    console.error(stderr.toString());
    process.exit(1);
  }
  return (
    Buffer.from(binary)
      .toString("base64")
      .match(/.{1,100}/g) ?? []
  );
}
