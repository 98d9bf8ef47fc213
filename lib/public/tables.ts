/** Results as tables. */
export { rows } from "../lesson/output/rows";
export { table as of } from "../lesson/output/table";
