/** Assembles the SIMD kernel and writes it, in base64, to lib/field/phasor-sum-module.ts. */
import { writeFileSync } from "node:fs";
import path from "node:path";
import wabt from "wabt";
import { kernelText } from "./phasor-sum";

/** The kernel as a file of the library. */
export async function kernelFile(): Promise<string> {
  const { parseWat } = await wabt();
  const module = parseWat("phasor-sum.wat", kernelText());
  const bytes = module.toBinary({}).buffer;
  module.destroy();
  return `/** Made by scripts/kernel/build.ts from scripts/kernel/phasor-sum.ts; WebAssembly, ${bytes.length} bytes. */
export const PHASOR_SUM_MODULE =
  "${Buffer.from(bytes).toString("base64")}";
`;
}

if (require.main === module) {
  kernelFile().then((text) =>
    writeFileSync(path.join(__dirname, "../../lib/field/phasor-sum-module.ts"), text),
  );
}
