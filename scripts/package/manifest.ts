import { readFileSync } from "node:fs";
import { inRoot } from "../setup/places.mjs";

/** Packages that the library itself needs; the course's others are not for those who only compute. */
const needed = ["ml-levenberg-marquardt", "ml-matrix", "zod"];

/**
 * package.json of the library.
 *
 * @param modulesOfNode  those that it takes from Node.js where there is one, without `node:`
 */
export function manifest(modulesOfNode: Iterable<string>): object {
  const course = JSON.parse(readFileSync(inRoot("package.json"), "utf8"));
  const modules = { types: "./dist/index.d.ts", default: "./dist/esm/index.js" };
  return {
    name: "evenground",
    version: course.version,
    description:
      "How loud the subs, where to judge them: levels, reflections, measurement and decisions for system technicians",
    keywords: ["acoustics", "loudspeaker", "subwoofer", "crossover", "transfer-function", "sound"],
    license: course.license,
    type: "module",
    sideEffects: false,
    engines: course.engines,
    main: "./dist/index.cjs",
    module: "./dist/esm/index.js",
    types: "./dist/index.d.ts",
    exports: {
      ".": {
        browser: modules,
        import: modules,
        require: { types: "./dist/index.d.cts", default: "./dist/index.cjs" },
      },
      "./data/*": "./data/*",
      "./package.json": "./package.json",
    },
    // Node's own modules, where there is a Node.js (or Bun, or Deno); elsewhere a sentence.
    imports: Object.fromEntries(
      [...modulesOfNode].map((name) => [
        `#node/${name}`,
        { deno: `node:${name}`, node: name, default: `./dist/without-node/${name}.js` },
      ]),
    ),
    files: ["dist", "data"],
    dependencies: Object.fromEntries(needed.map((name) => [name, `^${course.dependencies[name]}`])),
  };
}
