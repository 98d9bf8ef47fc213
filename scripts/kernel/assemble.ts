import wabt from "wabt";
import { kernelText } from "./phasor-sum";

/** The SIMD kernel as a file of the library: assembled, in base64. */
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
