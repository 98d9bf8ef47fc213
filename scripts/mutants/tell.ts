/** What a run came to, short enough to read. */

/** A report of StrykerJS, in part (the open schema of mutation testing reports). */
export interface MutationReport {
  readonly files: {
    readonly [file: string]: { readonly source: string; readonly mutants: readonly MutantResult[] };
  };
}

interface Place {
  readonly line: number;
  readonly column: number;
}

export interface MutantResult {
  readonly status: string;
  readonly location: { readonly start: Place; readonly end: Place };
  readonly replacement?: string;
}

/** Whether no test noticed it. */
export const isSurvivor = ({ status }: MutantResult): boolean =>
  status === "Survived" || status === "NoCoverage";

/** Each mutant that no test noticed, by file, and the share of those that were; where they are a sample, what that says of all. */
export function tell({ files }: MutationReport, isSample: boolean): string {
  const all = Object.values(files).flatMap(({ mutants }) => mutants);
  const count = (...states: string[]) => all.filter(({ status }) => states.includes(status)).length;
  // A mutant that never ends is noticed too: the tests would hang.
  const noticed = count("Killed", "Timeout");
  const tried = noticed + count("Survived", "NoCoverage");
  const left = { "not tried": count("CompileError"), "at loading, never tried": count("Ignored") };
  const survivors = Object.entries(files).flatMap(([file, { source, mutants }]) =>
    mutants
      .filter(isSurvivor)
      .sort((a, b) => a.location.start.line - b.location.start.line)
      .map((mutant) => `${file}:${mutant.location.start.line}  ${changeOf(source, mutant)}`),
  );
  const within = isSample ? `; of all, 95 %: ${percents(interval(noticed, tried))}` : "";
  const sum = `${noticed} of ${tried} mutants noticed, ${percent(noticed / tried)} %${within}`;
  const others = Object.entries(left).filter(([, n]) => n > 0);
  return [...survivors, [sum, ...others.map(([what, n]) => `${n} ${what}`)].join("; ")].join("\n");
}

function changeOf(source: string, { status, location, replacement = "" }: MutantResult): string {
  const { start, end } = location;
  const lines = source.split("\n").slice(start.line - 1, end.line);
  const last = lines.length - 1;
  lines[last] = lines[last].slice(0, end.column - 1);
  lines[0] = lines[0].slice(start.column - 1);
  const untouched = status === "NoCoverage" ? "  (no test comes here)" : "";
  return `${short(lines.join("\n"))}  →  ${short(replacement)}${untouched}`;
}

function short(text: string): string {
  const line = text.replace(/\s+/g, " ").trim();
  return line.length > 70 ? `${line.slice(0, 45)} … ${line.slice(-20)}` : line;
}

/**
 * 95 % interval of a share, from a sample.
 *
 * @source Wilson (1927), Probable inference, J. Am. Stat. Assoc. 22; check: tests/scripts/mutants.test.ts
 */
export function interval(noticed: number, tried: number): [least: number, most: number] {
  const z = 1.959964;
  const middle = (noticed + z ** 2 / 2) / (tried + z ** 2);
  const half = (z / (tried + z ** 2)) * Math.sqrt((noticed * (tried - noticed)) / tried + z ** 2 / 4);
  return [Math.max(0, middle - half), Math.min(1, middle + half)];
}

const percent = (share: number): string => (100 * share).toFixed(1);
const percents = ([least, most]: readonly [number, number]): string =>
  `${percent(least)} to ${percent(most)} %`;
