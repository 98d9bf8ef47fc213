/** The console of cells: what Node.js' prints, to the cell that runs. */
import { format } from "node:util";

const started = new Map<string, number>();
const out = (...what: unknown[]) => void process.stdout.write(`${format(...what)}\n`);
const err = (...what: unknown[]) => void process.stderr.write(`${format(...what)}\n`);

export function takeConsole(): void {
  Object.assign(console, {
    log: out,
    info: out,
    debug: out,
    table: out,
    warn: err,
    error: err,
    trace: err,
    time: (label = "default") => started.set(label, performance.now()),
    timeEnd: (label = "default") =>
      out(`${label}: ${(performance.now() - (started.get(label) ?? performance.now())).toFixed(3)}ms`),
  });
}
