/** Writes the assembled SIMD kernel to lib/field/phasor-sum-module.ts: `npx ts-node scripts/kernel/build.ts`. */
import { writeFileSync } from "node:fs";
import path from "node:path";
import { kernelFile } from "./assemble";

kernelFile().then((text) =>
  writeFileSync(path.join(__dirname, "../../lib/field/phasor-sum-module.ts"), text),
);
