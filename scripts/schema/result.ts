/** The JSON Schema of a study's result, read off its TypeScript types and their comments. */
import { join } from "node:path";
import { createGenerator } from "ts-json-schema-generator";

export function resultJsonSchema(): object {
  const root = join(__dirname, "..", "..");
  return createGenerator({
    path: join(root, "lib", "study", "result.ts"),
    tsconfig: join(root, "tsconfig.json"),
    type: "StudyResult",
    skipTypeCheck: true,
  }).createSchema("StudyResult");
}
