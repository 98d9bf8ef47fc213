// @ts-check
/** Where a cursor stands. Jupyter counts characters, the compiler UTF-16 units, of which an emoji has two; and it sees a line before the cell. */

/**
 * @param {string} code
 * @param {number} characters
 */
const unitsOf = (code, characters) => [...code].slice(0, characters).join("").length;

/**
 * @param {string} code
 * @param {number} units
 */
const charactersOf = (code, units) => [...code.slice(0, units)].length;

/**
 * The cell as the compiler has it.
 *
 * @param {any} program  the last that the kernel made
 * @param {string} code
 * @returns {{ file: any, before: number }} `before`: so many units stand before the cell's own
 */
function cellIn(program, code) {
  const file = program
    .getSourceFiles()
    .find((/** @type {any} */ each) => each.fileName.endsWith("/__tslab__.ts"));
  return { file, before: file.text.length - code.length };
}

module.exports = { cellIn, charactersOf, unitsOf };
