import type { Ran } from "./course";

/** Says how a notebook went: its time, or the cell that failed and why. */
export function tellRan({ notebook, cells, seconds, failure }: Ran): void {
  if (!failure) {
    console.log(`  ${notebook}: ${cells} cells in ${seconds.toFixed(1)} s`);
    return;
  }
  console.error(`  ${notebook}: cell ${failure.cell} failed: ${failure.message}`);
  for (const line of failure.code.split("\n").slice(0, 12)) console.error(`    | ${line}`);
}
