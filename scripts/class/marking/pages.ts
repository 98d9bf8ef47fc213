/** Pages of marks: one for each student, one with everybody for the teacher. Words and numbers only: nothing of theirs runs. */
import { escapeHtml } from "../../../lib/text/escape";
import { reasons } from "./assignments";
import type { MarkedExercise, Tried } from "./mark";
import { type MarkedNotebook, reasonsOf, totalOf } from "./marks";
import type { Read } from "./reading";

/**
 * What a student reads: points, and of each hidden room what they answered, what was best, and what the audience lost by it.
 * Nothing by which a room could be made again: neither its measures nor its place in the row.
 */
export function feedbackPage(
  title: string,
  student: string,
  marked: MarkedNotebook,
  read: Read | undefined,
): string {
  const { points, of } = totalOf(marked, read);
  const rooms = marked.exercises.find(({ tried }) => tried.length > 0)?.tried.length;
  const how = rooms
    ? ` Each way to decide was tried in ${rooms} rooms that nobody has seen. Full points are what the worked way earns there; credit begins where an answer that is the same in all rooms ends.`
    : "";
  return page(
    `${title}: ${student}`,
    `<p><b>${points} of ${of} points.</b>${how}</p>${marked.exercises.map(exercise).join("")}${inWords(marked, read)}${listOf("What the notebook said while it ran", marked.remarks)}`,
  );
}

/** What a person gave for the student's own words, line by line. */
function inWords({ written }: MarkedNotebook, read: Read | undefined): string {
  if (!written) return `<h2>${escapeHtml(reasons.question)}</h2><p>Nothing was written: 0 points.</p>`;
  const lines = reasons.rubric.map(
    ([, says], i) =>
      `<tr><td>${escapeHtml(says)}</td><td>${read?.[i] === null || read?.[i] === undefined ? "not read yet" : `${read[i]} of 1`}</td></tr>`,
  );
  return `<h2>${escapeHtml(reasons.question)}</h2><table><tbody>${lines.join("")}</tbody></table>`;
}

/** What the teacher reads before giving points: everybody's own words. */
export function readingPage(title: string, written: ReadonlyMap<string, string>, table: string): string {
  const lines = reasons.rubric.map(([name, says]) => `<li><b>${name}</b>: ${escapeHtml(says)}</li>`);
  const texts = [...written].map(
    ([student, text]) =>
      `<h2>${escapeHtml(student)}</h2>${text ? `<pre>${escapeHtml(text)}</pre>` : "<p>wrote nothing</p>"}`,
  );
  return page(
    `${title}: ${reasons.question}`,
    `<p>Points, 0 to 1 a line, go into <code>${escapeHtml(table)}</code>; then <code>npm run grade -- marks</code>.</p><ul>${lines.join("")}</ul>${texts.join("")}`,
  );
}

/** What the teacher reads. */
export function overviewPage(
  marks: readonly {
    readonly title: string;
    readonly students: { readonly [name: string]: MarkedNotebook };
    readonly read: ReadonlyMap<string, Read>;
  }[],
): string {
  const tables = marks.map(({ title, students, read }) => {
    const rows = Object.entries(students)
      .sort(([a], [b]) => a.localeCompare(b))
      .map(([name, marked]) => {
        const { points, of } = totalOf(marked, read.get(name));
        const parts = marked.exercises.map((one) => `${one.id} ${one.points}`);
        parts.push(`in words ${reasonsOf(marked, read.get(name)) ?? "not read yet"}`);
        return `<tr><th scope="row">${escapeHtml(name)}</th><td>${points} of ${of}</td><td>${escapeHtml(parts.join(", "))}</td><td>${escapeHtml(marked.remarks.join("; "))}</td></tr>`;
      });
    return `<h2>${escapeHtml(title)}</h2><div class="wide"><table><thead><tr><th>Student</th><th>Points</th><th>Exercises</th><th>Remarks</th></tr></thead><tbody>${rows.join("")}</tbody></table></div>`;
  });
  return page("Marks", tables.join("") || "<p>Nothing has been marked yet.</p>");
}

const exercise = ({ id, points, most, blind, tried }: MarkedExercise): string => {
  const head = `<h2>${escapeHtml(id)}: ${points} of ${most}</h2>`;
  if (tried.length === 0) return `${head}<p>Nothing was changed or written: not tried.</p>`;
  const means = tried.find(({ people }) => people)?.people?.means;
  const note = `<p>${means ? `Served are people ${escapeHtml(means)}. ` : ""}One answer to all rooms would have earned ${Math.round(100 * blind)} %.</p>`;
  const heads = [
    "Your answer",
    "The best",
    "It cost the audience",
    "People served",
    "Share",
    "What led there",
  ];
  return `${head}${note}<div class="wide"><table><thead><tr>${heads.map((each) => `<th>${each}</th>`).join("")}</tr></thead><tbody>${tried.map(room).join("")}</tbody></table></div>`;
};

function room({ share, answer, best, cost_db, people, misconception, problem }: Tried): string {
  const cells = [
    answer ?? "none",
    best,
    cost_db === null ? "" : `${cost_db.toFixed(1)} dB`,
    people ? `${people.served} of 100, with the best ${people.best}` : "",
    `${Math.round(100 * share)} %`,
    problem ?? misconception ?? "",
  ];
  return `<tr>${cells.map((each) => `<td>${escapeHtml(each)}</td>`).join("")}</tr>`;
}

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
