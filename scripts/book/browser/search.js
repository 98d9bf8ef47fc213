/**
 * Search in all lessons and the reference. The button opens it; what is typed is looked for at once; arrows go through what was found,
 * Enter goes there, Escape closes. The text to search lies in a script beside this one, fetched when it is first asked for.
 */
import MiniSearch from "minisearch";
import { lineWith } from "./line-with.js";

const most = 20;
const here = document.currentScript.src;
const button = document.getElementById("book-search");
const dialog = document.createElement("dialog");
dialog.className = "search";
dialog.setAttribute("aria-label", "Search the book");
dialog.innerHTML = `<div class="ask"><label>Search the book <input type="search" autocomplete="off" spellcheck="false"></label>
<button type="button">Close</button></div><p role="status"></p><ol></ol>`;
document.body.append(dialog);
const field = dialog.querySelector("input");
const status = dialog.querySelector("p");
const list = dialog.querySelector("ol");

button.addEventListener("click", () => {
  dialog.showModal();
  field.select();
  load();
});
dialog.querySelector("button").addEventListener("click", () => dialog.close());
// A part of this very page: the dialog must not stay before it.
list.addEventListener("click", (event) => event.target.closest("a") && dialog.close());
field.addEventListener("input", look);
dialog.addEventListener("keydown", (event) => {
  const links = Array.from(list.querySelectorAll("a"));
  const at = links.indexOf(document.activeElement);
  if (event.key === "ArrowDown") (links[at + 1] ?? links[at])?.focus();
  else if (event.key === "ArrowUp") (at > 0 ? links[at - 1] : field).focus();
  // In a search field the first Escape would only empty it.
  else if (event.key === "Escape") dialog.close();
  else if (event.key === "Enter" && event.target === field) links[0]?.click();
  else return;
  event.preventDefault();
});

let index;
let asked = false;

function load() {
  if (asked) return;
  asked = true;
  status.textContent = "One moment…";
  window.evengroundPassages = (passages) => {
    index = new MiniSearch({
      fields: ["part", "lesson", "text", "code"],
      tokenize: (text) => words(text).flatMap((word) => [word, ...partsOf(word)]),
      storeFields: ["part", "lesson", "text", "code", "file", "anchor", "weight"],
      searchOptions: {
        boostDocument: (_id, _term, { weight }) => weight ?? 1,
        boost: { part: 4, lesson: 2, code: 0.5 },
        tokenize: words,
        prefix: true,
        // One wrong letter in a word of five, two in one of ten.
        fuzzy: (word) => (word.length < 5 ? 0 : 0.2),
      },
    });
    index.addAll(passages.map((passage, id) => ({ ...passage, anchor: passage.id, id })));
    look();
  };
  const script = document.createElement("script");
  script.src = new URL("passages.js", here);
  script.addEventListener("error", () => {
    status.textContent = "The text to search is missing: make the book anew with npm run book.";
  });
  document.head.append(script);
}

const words = MiniSearch.getDefault("tokenize");

/** `criticalDistance` is found as "critical distance" too. */
function partsOf(word) {
  const parts = word.match(/[A-Z]?[a-z]+/g) ?? [];
  return parts.length > 1 ? parts : [];
}

function look() {
  if (!index) return;
  const query = field.value.trim();
  const all = index.search(query, { combineWith: "AND" });
  const found = all.length ? all : index.search(query);
  list.replaceChildren(...found.slice(0, most).map(entry));
  status.textContent = !query
    ? ""
    : found.length > most
      ? `The first ${most} of ${found.length} places`
      : `${found.length || "No"} ${found.length === 1 ? "place" : "places"} found`;
}

/** One place that was found: its heading, its lesson, and the line with the word. All of it is text, never HTML. */
function entry({ part, lesson, text, code, file, anchor, terms }) {
  const link = document.createElement("a");
  link.href = `${encodeURI(file)}#${encodeURIComponent(anchor)}`;
  const head = document.createElement("strong");
  head.textContent = part;
  link.append(head);
  if (part !== lesson) link.append(` · ${lesson}`);
  const line = document.createElement("span");
  for (const { piece, isMatch } of lineWith(terms, text) ?? lineWith(terms, code) ?? lineWith([], text)) {
    const element = document.createElement(isMatch ? "mark" : "span");
    element.textContent = piece;
    line.append(element);
  }
  link.append(line);
  const item = document.createElement("li");
  item.append(link);
  return item;
}
