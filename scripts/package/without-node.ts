/** What stands in a browser for the modules of Node.js: files and threads, which it has not, as sentences that say so. */

/** What the library takes from each module of Node.js, by the module's name without `node:`. */
export type NamesOfModules = Map<string, Set<string>>;

/**
 * @param name   of the module, such as "fs"
 * @param names  what is imported from it
 * @returns the text of the module that takes its place
 */
export function absentModule(name: string, names: ReadonlySet<string>): string {
  const exported = [...names].sort().map((each) => {
    if (each === "default") return "export default new Proxy({}, { get: () => absent });";
    // What is looked at when the library loads, not called.
    if (each === "parentPort" || each === "workerData") return `export const ${each} = null;`;
    return each === "availableParallelism"
      ? `export const ${each} = () => 1;`
      : `export const ${each} = absent;`;
  });
  return `const absent = () => {
  throw new RangeError("this needs ${name === "fs" ? "files" : `Node.js (its ${name})`}, which a browser does not have: hand over the content instead");
};
${exported.join("\n")}
`;
}
