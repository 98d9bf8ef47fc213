/** `npm run licences`: every package that set-up installs, with its version and licence; fails where one is not among those we know. */
import { existsSync } from "node:fs";
import { byHand } from "./licences/by-hand";
import { isKnown } from "./licences/known";
import { npmLicences } from "./licences/npm";
import { pypiLicences } from "./licences/pypi";
import { inRoot, pythonOf } from "./setup/places.mjs";
import { runCommand } from "./setup/setup-error.mjs";

runCommand(() => {
  const npm = [
    ...npmLicences(inRoot()),
    ...npmLicences(inRoot("scripts", "class", "server")).map((one) => ({ ...one, part: "class" })),
  ];
  const pypi = Object.entries({ course: ".venv", class: ".venv-class", record: ".venv-record" }).flatMap(
    ([part, venv]) => {
      const python = pythonOf(inRoot(venv));
      return existsSync(python) ? pypiLicences(python).map((one) => ({ ...one, part })) : [];
    },
  );
  const all = [...npm, ...pypi].map((one) => ({
    ...one,
    licence: byHand[`${one.registry} ${one.name}`] ?? one.licence,
  }));
  console.log("registry\tpackage\tversion\tlicence\tfor");
  for (const { registry, name, version, licence, part } of all) {
    console.log([registry, name, version, licence, part].join("\t"));
  }
  const unknown = all.filter(({ licence }) => !isKnown(licence));
  for (const { name, version, licence } of unknown) {
    console.error(
      `${name} ${version} is under "${licence}", which is not among the licences in scripts/licences/known.ts`,
    );
  }
  console.log(`${all.length - unknown.length} passed, ${unknown.length} failed`);
  return unknown.length ? 1 : 0;
});
