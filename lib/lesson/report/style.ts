/** How pages look: on a screen of any width, light and dark, and on paper, where no letter is smaller than 9 points. */

export const style = `
:root { color-scheme: light dark; --ink: #1d2733; --faint: #5b6773; --page: #fff; --line: #d5dbe0; --short: #f3f6f4; --fit: #14694a; --care: #8a5a00; --again: #a8201a; }
@media (prefers-color-scheme: dark) { :root { --ink: #e8edf2; --faint: #a9b4bf; --page: #161b21; --line: #343d47; --short: #1d2a26; --fit: #58c99a; --care: #f0b84a; --again: #ff8f85; } }
@media print { :root { --ink: #000; --faint: #444; --page: #fff; --line: #bbb; --short: #fff; --fit: #14694a; --care: #8a5a00; --again: #a8201a; } }
body { margin: 0; background: var(--page); color: var(--ink); font: 1rem/1.45 system-ui, "DejaVu Sans", sans-serif; }
main { max-width: 60rem; margin: 0 auto; padding: 1.2rem 1rem 3rem; }
h1 { font-size: 1.6rem; line-height: 1.25; margin: 0; }
h2 { font-size: 1.2rem; margin: 2rem 0 0.4rem; padding-top: 0.8rem; border-top: 1px solid var(--line); }
.subtitle { color: var(--faint); margin: 0.2rem 0 0.8rem; max-width: none; }
.short { border: 1px solid var(--line); background: var(--short); border-radius: 6px; padding: 0 1rem 0.2rem; }
.short p { margin: 0.6rem 0; }
.short table { margin: 0.4rem 0; }
.short td:last-child { border: 1px solid var(--faint); min-width: 7rem; }
.badge { display: flex; align-items: center; gap: 0.8rem; margin: 0 -1rem 0.5rem; padding: 0.4rem 1rem; border-left: 0.5rem solid; border-bottom: 1px solid var(--line); border-left-color: currentColor; font-size: 1.08rem; }
.badge svg { flex: none; width: 2.4rem; height: 2.4rem; fill: currentColor; }
.badge .sign { fill: none; stroke: var(--page); stroke-width: 4; }
.badge p { margin: 0; max-width: none; color: var(--ink); }
.badge strong { font-size: 1.15rem; }
.fit { color: var(--fit); } .care { color: var(--care); } .again { color: var(--again); }
.together { display: inline-block; }
h3 { font-size: 1.05rem; margin: 1rem 0 0.3rem; }
.columns { display: grid; grid-template-columns: repeat(2, minmax(0, 1fr)); gap: 0 1.6rem; }
.table-first { grid-template-columns: minmax(0, max-content) minmax(260px, 1fr); }
.table-first td, .short .table-first th { white-space: nowrap; }
.fact { margin: 0.5rem 0; }
.fact .of { color: var(--faint); margin: 0; }
.fact .value { font-size: 1.7rem; line-height: 1.2; font-weight: 600; margin: 0.1rem 0; white-space: pre-line; }
.fact p:last-child { margin: 0.1rem 0; }
.blanks { display: flex; flex-wrap: wrap; gap: 0.2rem 1.5rem; max-width: none; color: var(--faint); }
.blank { flex: 1 1 9rem; border-bottom: 1px solid var(--faint); padding-top: 0.5rem; }
p, ul { max-width: 44rem; }
table { border-collapse: collapse; font-size: 0.93rem; margin: 0.6rem 0; }
caption { text-align: left; color: var(--faint); padding-bottom: 0.3rem; }
th, td { padding: 0.25rem 0.8rem 0.25rem 0; border-bottom: 1px solid var(--line); }
footer { color: var(--faint); font-size: 0.9rem; margin-top: 2.5rem; border-top: 1px solid var(--line); }
@media screen and (max-width: 640px) {
  main { padding-top: 0.6rem; }
  h1 { font-size: 1.25rem; }
  .subtitle { font-size: 0.85rem; margin-bottom: 0.4rem; }
  .short { padding: 0 0.6rem 0.2rem; font-size: 0.93rem; line-height: 1.35; }
  .short p { margin: 0.4rem 0; }
  .short table { font-size: 0.8rem; line-height: 1.2; width: 100%; }
  .short th, .short td { padding-left: 0; padding-right: 0.4rem; }
  .short td:last-child { min-width: 0; }
  .badge { margin: 0 -0.6rem 0.3rem; padding: 0.3rem 0.6rem; font-size: 0.93rem; }
  .columns, .table-first { grid-template-columns: minmax(0, 1fr); }
  .fact .value { font-size: 1.3rem; }
  .table-first td, .short .table-first th { white-space: normal; }
}
/* Read as printing begins, when rules for paper do not hold yet. */
.sheet { --highest-drawing: 445; }
@page { margin: 13mm; }
@media print {
  html { font-size: 10pt; }
  main { padding: 0; max-width: none; }
  figure, tr, li, p, .columns, .badge, .fact { break-inside: avoid; }
  h2 { break-after: avoid; margin-top: 1.2rem; padding-top: 0.5rem; }
  p, ul { max-width: none; margin: 0.4rem 0; }
  h3 { margin: 0.5rem 0 0.2rem; break-after: avoid; }
  th, td { padding-top: 0.15rem; padding-bottom: 0.15rem; }
  footer { margin-top: 1rem; }
  .table-first .fact .value { font-size: 1.4rem; }
  .sheet main { font-size: 9.5pt; line-height: 1.35; }
  .sheet ul { padding-left: 1.1rem; }
  .sheet h2 { margin-top: 0.5rem; padding-top: 0.3rem; }
  .sheet footer { margin-top: 0.4rem; }
  figure.evenground { margin: 0.3rem 0; }
  figure.evenground .evenground-drawing { overflow: hidden !important; }
  figure.evenground details { display: none; }
  div[style*="overflow"] { overflow: visible !important; }
}
`;
