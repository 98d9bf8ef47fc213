import { execFileSync } from "node:child_process";
import type { Licensed } from "./npm";

const program = `
import json
from importlib.metadata import distributions
found = []
for one in distributions():
    data = one.metadata
    classes = [c.split(" :: ")[-1] for c in data.get_all("Classifier") or [] if c.startswith("License ::")]
    text = (data.get("License") or "").strip()
    licence = data.get("License-Expression") or " AND ".join(c for c in classes if c != "OSI Approved") or text.split("\\n")[0]
    found.append({"registry": "PyPI", "name": data["Name"], "version": one.version, "licence": licence or "none named"})
print(json.dumps(sorted(found, key=lambda one: one["name"].lower())))
`;

/** The packages of a virtual environment, by its Python. */
export const pypiLicences = (python: string): Omit<Licensed, "part">[] =>
  JSON.parse(execFileSync(python, ["-c", program], { encoding: "utf8" }));
