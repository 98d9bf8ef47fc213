/** Writes the assembled SIMD kernel to lib/field/path-sum/phasor-sum.generated.ts: `npx ts-node scripts/kernel/build.ts`. */
import { writeFileSync } from "node:fs";
import path from "node:path";
import { kernelFile } from "./assemble";

kernelFile().then((text) =>
  writeFileSync(path.join(__dirname, "../../lib/field/path-sum/phasor-sum.generated.ts"), text),
);
