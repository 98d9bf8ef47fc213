/** Pages of marks: one for each student, one with everybody for the teacher. Words and numbers only: nothing of theirs runs. */
import { escapeHtml } from "../../../lib/text/escape";
import type { MarkedExercise, Tried } from "./mark";
import { type MarkedNotebook, mostOf, pointsOf } from "./marks";

/** What a student reads: points, and what went wrong. Of the rooms nothing, for others are marked in them. */
export function feedbackPage(title: string, student: string, marked: MarkedNotebook): string {
  const total = `<p><b>${pointsOf(marked)} of ${mostOf(marked)} points.</b> Each function was tried in rooms that nobody has seen; full points are what the worked way earns there.</p>`;
  return page(
    `${title}: ${student}`,
    `${total}${marked.exercises.map(exercise).join("")}${listOf("What the notebook said while it ran", marked.remarks)}`,
  );
}

/** What the teacher reads. */
export function overviewPage(
  marks: readonly {
    readonly title: string;
    readonly students: { readonly [name: string]: MarkedNotebook };
  }[],
): string {
  const tables = marks.map(({ title, students }) => {
    const rows = Object.entries(students)
      .sort(([a], [b]) => a.localeCompare(b))
      .map(
        ([name, marked]) =>
          `<tr><th scope="row">${escapeHtml(name)}</th><td>${pointsOf(marked)} of ${mostOf(marked)}</td><td>${escapeHtml(marked.exercises.map((one) => `${one.id} ${one.points}`).join(", "))}</td><td>${escapeHtml(marked.remarks.join("; "))}</td></tr>`,
      );
    return `<h2>${escapeHtml(title)}</h2><div class="wide"><table><thead><tr><th>Student</th><th>Points</th><th>Exercises</th><th>Remarks</th></tr></thead><tbody>${rows.join("")}</tbody></table></div>`;
  });
  return page("Marks", tables.join("") || "<p>Nothing has been marked yet.</p>");
}

const exercise = ({ id, points, most, tried }: MarkedExercise): string =>
  `<h2>${escapeHtml(id)}: ${points} of ${most}</h2><ol>${tried.map(room).join("")}</ol>`;

const room = ({ share, misconception, problem }: Tried): string =>
  `<li>${Math.round(100 * share)} %${problem ? `: no answer, ${escapeHtml(problem)}` : misconception ? `: ${escapeHtml(misconception)}` : ""}</li>`;

const listOf = (title: string, lines: readonly string[]): string =>
  lines.length
    ? `<h2>${title}</h2><ul>${lines.map((line) => `<li><pre>${escapeHtml(line)}</pre></li>`).join("")}</ul>`
    : "";

const page = (title: string, body: string): string => `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>${escapeHtml(title)}</title>
<style>
:root { color-scheme: light dark; font: 16px/1.5 system-ui, sans-serif }
body { max-width: 60rem; margin: 1.5rem auto; padding: 0 1rem }
h2 { font-size: 1.1rem; margin-top: 1.5rem }
pre { white-space: pre-wrap; overflow-wrap: anywhere; margin: 0 }
.wide { overflow-x: auto }
table { border-collapse: collapse }
th, td { text-align: left; vertical-align: top; padding: 0.3rem 0.8rem 0.3rem 0; border-bottom: 1px solid #8886 }
</style>
</head>
<body>
<h1>${escapeHtml(title)}</h1>
${body}
</body>
</html>
`;
