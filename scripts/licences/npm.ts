import { existsSync, readFileSync } from "node:fs";
import path from "node:path";

export interface Licensed {
  readonly registry: string;
  readonly name: string;
  readonly version: string;
  readonly licence: string;
  readonly part: string;
}

interface Locked {
  readonly dev?: boolean;
  readonly devOptional?: boolean;
}

/**
 * The packages of a folder's lock that are installed here.
 *
 * @param folder  with package-lock.json and node_modules
 */
export function npmLicences(folder: string): Licensed[] {
  const { packages }: { packages: { [where: string]: Locked } } = JSON.parse(
    readFileSync(path.join(folder, "package-lock.json"), "utf8"),
  );
  return Object.entries(packages).flatMap(([where, { dev, devOptional }]) => {
    const file = path.join(folder, where, "package.json");
    if (where === "" || !existsSync(file)) return [];
    const { name, version, license, licenses } = JSON.parse(readFileSync(file, "utf8"));
    const licence = textOf(license ?? licenses);
    return [{ registry: "npm", name, version, licence, part: dev || devOptional ? "tests" : "course" }];
  });
}

type License = string | { readonly type: string } | readonly License[] | undefined;

/** In words, as a package may write it: text, an object, a list of these. */
function textOf(license: License): string {
  if (license === undefined) return "none named";
  if (typeof license === "string") return license;
  return "type" in license ? license.type : license.map(textOf).join(" OR ");
}
