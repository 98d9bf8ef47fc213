/** What became of verdicts and percentages, as tables in Markdown. */
import { chancesOf, FILLS } from "../../lib/decision/dips/chances";
import { judged } from "../../lib/decision/dips/verdict";
import { isWhole, type JudgedTrial } from "./trial";

export function tables(trials: readonly JudgedTrial[]): string {
  const of = (which: (t: JudgedTrial) => boolean) => trials.filter(which);
  return [
    verdictTable([
      ["halls", of((t) => t.hall)],
      ["in the open", of((t) => !t.hall)],
      ["all", trials],
    ]),
    tenthsTable(trials),
  ].join("\n\n");
}

const share = (some: readonly unknown[], all: readonly unknown[]): string =>
  all.length > 0 ? `${Math.round((100 * some.length) / all.length)} % of ${all.length}` : "–";

function verdictTable(rows: readonly (readonly [string, readonly JudgedTrial[]])[]): string {
  const lines = rows.map(([name, trials]) => {
    const verdicts = trials.map((t) => ({ t, v: judged(t.evidence) }));
    const said = (verdict: string) => verdicts.filter(({ v }) => v.verdict === verdict);
    const [one, several] = [said("one element"), said("several together")];
    const [whole, missing] = [said("the room as a whole"), said("not in the file")];
    const stated = (some: typeof verdicts) =>
      some.length > 0
        ? ` (${Math.round((100 * some.reduce((sum, { v }) => sum + v.chance, 0)) / some.length)} %)`
        : "";
    const named = several.flatMap(({ t, v }) => v.named.map((e) => t.truth[e]));
    const either = [...whole, ...missing].filter(({ t }) => isWhole(t) || t.undrawn >= FILLS);
    const cells = [
      name,
      trials.length,
      share(
        one.filter(({ t, v }) => t.truth[v.named[0]] >= FILLS),
        one,
      ) + stated(one),
      share(
        named.filter((x) => x >= FILLS),
        named,
      ) + stated(several),
      share(
        whole.filter(({ t }) => isWhole(t)),
        whole,
      ) + stated(whole),
      share(
        missing.filter(({ t }) => t.undrawn >= FILLS),
        missing,
      ) + stated(missing),
      share(
        either.filter(({ t, v }) => (v.verdict === "not in the file") === t.undrawn >= FILLS),
        either,
      ),
      share(said("undecided"), trials),
    ];
    return `| ${cells.join(" | ")} |`;
  });
  return [
    "| dips | groups | one element: right (stated) | several: of those named right (stated) | the room as a whole | not in the file | these two told apart | undecided |",
    "| --- | --- | --- | --- | --- | --- | --- | --- |",
    ...lines,
  ].join("\n");
}

/** True by stated chance, in tenths. */
function tenthsTable(trials: readonly JudgedTrial[]): string {
  const fills = trials.flatMap((t) =>
    chancesOf(t.evidence).fills.map((stated, e) => ({ stated, is: t.truth[e] >= FILLS })),
  );
  const missing = trials.map((t) => ({
    stated: chancesOf(t.evidence).notInFile,
    is: t.undrawn >= FILLS,
  }));
  const whole = trials.map((t) => ({ stated: chancesOf(t.evidence).whole, is: isWhole(t) }));
  const row = (name: string, all: typeof fills) => {
    const cells = Array.from({ length: 10 }, (_, k) => {
      const some = all.filter(({ stated }) => Math.min(9, Math.floor(10 * stated)) === k);
      if (some.length === 0) return "–";
      const mean = (of: (x: (typeof all)[number]) => number) =>
        Math.round((100 * some.reduce((sum, x) => sum + of(x), 0)) / some.length);
      return `${mean((x) => x.stated)}, ${mean((x) => Number(x.is))} (${some.length})`;
    });
    return `| ${name} | ${cells.join(" | ")} |`;
  };
  const heads = Array.from({ length: 10 }, (_, k) => `${10 * k} to ${10 * k + 10} %`);
  return [
    `| stated, true, % (cases) | ${heads.join(" | ")} |`,
    `| --- |${heads.map(() => " --- |").join("")}`,
    row("an element fills it", fills),
    row("not in the file", missing),
    row("the room as a whole", whole),
  ].join("\n");
}
