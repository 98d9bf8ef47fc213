// @ts-check
/**
 * Lets a cell write `{ venue }` for a variable of an earlier cell. The kernel rewrites such variables wherever they
 * stand, but not here: the name is taken for that of the new object's property, and the cell fails.
 */

/**
 * @param {any} ts  the compiler that the kernel uses
 * @returns {(node: any, visitor: any, context: any) => any} its `visitEachChild`, with that gap closed
 */
function visitEachChildWithShorthand(ts) {
  return (node, visitor, context) => {
    const own =
      node && ts.isShorthandPropertyAssignment(node) && !declaredInCell(ts, ts.getOriginalNode(node));
    if (!own || !isOfEarlierCell(node.name.text)) return ts.visitEachChild(node, visitor, context);
    const value = ts.factory.createPropertyAccessExpression(
      ts.factory.createIdentifier("exports"),
      node.name.text,
    );
    return ts.factory.createPropertyAssignment(node.name.text, value);
  };
}

/**
 * Whether a scope around a shorthand, up to the whole cell, has a variable of its name.
 *
 * @param {any} ts
 * @param {any} node
 */
function declaredInCell(ts, node) {
  for (let scope = node.parent; scope; scope = scope.parent) {
    if (scope.locals?.has(node.name.escapedText)) return true;
    if (ts.isSourceFile(scope)) return false; // what lies around it are the earlier cells
  }
  return false;
}

const isOfEarlierCell = (/** @type {string} */ name) =>
  Object.hasOwn(/** @type {any} */ (globalThis).__tslab__?.exports ?? {}, name);

module.exports = { visitEachChildWithShorthand };
