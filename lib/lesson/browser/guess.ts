/** Brings a prediction to life: its form, what opens after it, and the list of how the guesses of a lesson went. */

import { guessedOn } from "../figures/parts/guessed";
import type { GuessContent } from "../guesses/guess";
import {
  type Answered,
  answers,
  type NumberQuestion,
  type Question,
  type Said,
  typedNumber,
  type Verdict,
  verdict,
} from "../guesses/question";
import { element } from "./element";
import { changeFigure } from "./plot";
import { sketchField } from "./sketch-field";

/** What the browser keeps of each guess, with the truth as it was then: a cell may be changed and run again. */
interface Stored {
  readonly said: Said;
  readonly truth: Answered;
}

const changed = "evenground-guess";
let count = 0;

/**
 * Starts a prediction in its piece of the page.
 *
 * @param piece  from `guess`
 */
export function liveGuess(piece: HTMLElement, { name, question, truth }: GuessContent): void {
  const asked = inside(piece, "asked");
  const behind = inside(piece, "behind");
  const status = element("p", "", { role: "status", tabIndex: -1 });
  const scale = element("div", "", { className: "evenground-scale" });
  const again = element("button", "Guess again", { type: "button" });
  const form = formOf(question, (said) => {
    if (said === undefined) {
      status.textContent =
        "Enter a number, choose one of the answers or draw the curve: or look without a guess.";
      return;
    }
    keep(name, { said, truth });
    open();
    // The form is gone, and with it the place where the keyboard was.
    status.focus();
  });
  const open = () => {
    const kept = guessOf(question, recall()[name]);
    const went = kept && verdict(question, kept.said, kept.truth);
    form.hidden = Boolean(went);
    behind.hidden = !went;
    again.hidden = !went;
    scale.replaceChildren(...(went && "near" in question && !("points" in question) ? bars(kept, went) : []));
    const drawing = behind.querySelector<HTMLElement>(".evenground-drawing");
    if (drawing) changeFigure(drawing, (figure) => (kept ? guessedOn(figure, question, kept.said) : figure));
    for (const { element: covered, fold } of coveredBy(piece)) {
      covered.toggleAttribute("data-waits", !went);
      if (fold) fold.open = Boolean(went);
    }
    status.textContent = went ? `${question.asks}: ${sentence(went)}` : "";
  };
  again.addEventListener("click", () => {
    keep(name, undefined);
    open();
    form.querySelector("input")?.focus();
  });
  asked.replaceChildren(form, status, scale, again);
  open();
}

const sentence = ({ said, truth, off, right }: Verdict): string =>
  said === "no guess"
    ? `it is ${truth}.`
    : said === "a curve"
      ? `${right ? "right: " : ""}your curve is off by ${off}.`
      : right
        ? `you said ${said}, and it is ${truth}: right.`
        : `you said ${said}; it is ${truth}${off === "another answer" ? "" : `: ${off}`}.`;

/** @param done  gets the answer, null without a guess, undefined where there is none to read */
function formOf(question: Question, done: (said: Said | undefined) => void): HTMLFormElement {
  const form = element("form", "", { noValidate: true, autocomplete: "off" });
  const set = element("fieldset");
  const id = `evenground-guess-${++count}`;
  set.append(element("legend", `Your prediction: ${question.asks}`));
  const sketch = "points" in question ? sketchField(question) : undefined;
  if (sketch) {
    set.append(sketch.field);
  } else if ("choices" in question) {
    for (const value of question.choices) {
      const label = element("label");
      label.append(element("input", "", { type: "radio", name: id, value }), ` ${value}`);
      set.append(label);
    }
  } else if ("unit" in question) {
    const input = element("input", "", { type: "text", id, size: 8, maxLength: 20 });
    input.setAttribute("aria-label", question.unit ? `${question.asks}, in ${question.unit}` : question.asks);
    set.append(input, element("span", ` ${question.unit}`));
  }
  const without = element("button", "Show me without a guess", { type: "button" });
  without.addEventListener("click", () => done(null));
  form.append(set, element("button", "That is my guess", { type: "submit" }), " ", without);
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    if (sketch) return done(sketch.drawn());
    const input = form.querySelector<HTMLInputElement>("input[type=text], input:checked");
    done(
      input &&
        ("choices" in question ? input.value : typedNumber(input.value, (question as NumberQuestion).unit)),
    );
  });
  return form;
}

/** Guess and truth as two bars from the same zero. */
function bars({ said, truth }: Stored, went: Verdict): HTMLElement[] {
  if (said === null) return [];
  const [guessed, is] = [Number(said), Number(truth)];
  const low = Math.min(0, guessed, is);
  const span = Math.max(0, guessed, is) - low || 1;
  return [
    ["you", guessed, went.said],
    ["true", is, went.truth],
  ].map(([name, value, text]) => {
    const row = element("div");
    row.setAttribute("aria-hidden", "true");
    const bar = element("i");
    bar.style.marginLeft = `${(60 * (Math.min(0, Number(value)) - low)) / span}%`;
    bar.style.width = `${(60 * Math.abs(Number(value))) / span}%`;
    row.append(element("span", String(name)), bar, element("b", String(text)));
    return row;
  });
}

/**
 * What else waits for this guess: in the book the cells under it, up to the next heading or prediction; and the folded
 * explanation, there and in a notebook.
 */
function coveredBy(piece: HTMLElement): { element: Element; fold: HTMLDetailsElement | null }[] {
  const found = [];
  const parts = "main > section, .jp-Cell";
  for (
    let next = piece.closest(parts)?.nextElementSibling;
    next?.matches(parts);
    next = next.nextElementSibling
  ) {
    if (next.querySelector("h1, h2, [data-kind=guess], [data-kind=guesses]")) break;
    const folds = Array.from(next.querySelectorAll<HTMLDetailsElement>("details"));
    found.push({
      element: next,
      fold: folds.find((each) => each.querySelector("summary")?.textContent === "Explanation") ?? null,
    });
  }
  return found;
}

/**
 * Starts the list of a lesson's guesses.
 *
 * @param piece  from `guesses`
 */
export function guessList(piece: HTMLElement, questions: { readonly [name: string]: Question }): void {
  const asked = inside(piece, "asked");
  const list = () => {
    if (!piece.isConnected) {
      removeEventListener(changed, list);
      return;
    }
    const kept = recall();
    const rows = Object.entries(questions).map(([name, question]) => {
      const one = guessOf(question, kept[name]);
      return { question, went: one && verdict(question, one.said, one.truth) };
    });
    const made = rows.flatMap(({ went }) => (went && went.said !== "no guess" ? [went] : []));
    const words = `${made.length} of ${rows.length} predictions made, ${made.filter(({ right }) => right).length} of them right.`;
    const table = element("table");
    const head = element("tr");
    for (const title of ["Prediction", "You said", "It is", "Off by"])
      head.append(element("th", title, { scope: "col" }));
    table.append(element("caption", words), head);
    for (const { question, went } of rows) {
      const row = element("tr");
      const cells = went ? [went.said, went.truth, went.off] : ["not yet", "–", "–"];
      row.append(element("th", question.asks, { scope: "row" }), ...cells.map((text) => element("td", text)));
      table.append(row);
    }
    asked.replaceChildren(table);
  };
  addEventListener(changed, list);
  list();
}

function inside(piece: HTMLElement, name: "asked" | "behind"): HTMLElement {
  const found = piece.querySelector<HTMLElement>(`:scope > .evenground-${name}`);
  if (!found) throw new Error("a part of it is missing from the page");
  return found;
}

/** Each user of a class server has guesses of their own. */
const store = () => {
  const jupyter = document.getElementById("jupyter-config-data")?.textContent;
  return `evenground-guesses ${jupyter ? String(JSON.parse(jupyter).baseUrl) : ""}`;
};
/** For pages whose browser keeps nothing. */
let inPage: { [name: string]: Stored } = {};

function recall(): { readonly [name: string]: Stored } {
  try {
    const found = Object.entries<Partial<Stored> | null>(JSON.parse(localStorage.getItem(store()) ?? "{}"));
    inPage = Object.fromEntries(
      found.flatMap(([name, one]) =>
        one?.said !== undefined && one.truth !== undefined ? [[name, one as Stored]] : [],
      ),
    );
  } catch {
    // a page from disk may have no storage
  }
  return inPage;
}

/** What is kept, where it is an answer to this question: lessons change, and other pages may have written there. */
const guessOf = (question: Question, one: Stored | undefined): Stored | undefined =>
  one && answers(question, one.truth) && (one.said === null || answers(question, one.said)) ? one : undefined;

function keep(name: string, guess: Stored | undefined): void {
  const { [name]: _, ...others } = recall();
  inPage = guess ? { ...others, [name]: guess } : others;
  try {
    localStorage.setItem(store(), JSON.stringify(inPage));
  } catch {
    // kept while the page is open
  }
  dispatchEvent(new Event(changed));
}
