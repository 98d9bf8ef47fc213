// @ts-nocheck
// biome-ignore-all lint/correctness/noUnusedVariables: the scripts of the pages, which come after this one, call them
/** What the pages of commands share: asking the command, making elements, drawing. */
const token = new URLSearchParams(location.search).get("token") ?? "";
const at = (id) => document.getElementById(id);
const minus = (text) => String(text).replace("-", "−");
const hues = ["#2b6cb0", "#c05621", "#2f855a", "#97266d", "#6b46c1", "#b7791f", "#2c7a7b", "#9b2c2c"];

async function post(wish) {
  const answer = await fetch(`do?token=${token}`, { method: "POST", body: JSON.stringify(wish) });
  return answer.json();
}

/** Calls with each state that the command tells. */
function listen(draw) {
  new EventSource(`events?token=${token}`).onmessage = ({ data }) => draw(JSON.parse(data));
}

function make(tag, text, className) {
  const element = document.createElement(tag);
  if (text !== undefined) element.textContent = text;
  if (className) element.className = className;
  return element;
}

/** A row of headings. */
function headings(words) {
  const row = make("tr");
  for (const word of words) {
    const cell = make("th", word);
    cell.scope = "col";
    row.append(cell);
  }
  return row;
}

/** Shapes that take a drawing's place once all are there. */
function canvas(svg) {
  const shapes = [];
  const shape = (tag, attributes, text) => {
    const element = document.createElementNS("http://www.w3.org/2000/svg", tag);
    for (const [name, value] of Object.entries(attributes)) element.setAttribute(name, value);
    if (text !== undefined) element.textContent = text;
    shapes.push(element);
  };
  return { shape, done: () => svg.replaceChildren(...shapes) };
}

/** What is wider than the page can be moved by keys, whatever made it so. */
function reachable() {
  for (const section of document.querySelectorAll("section"))
    section.tabIndex = section.scrollWidth > section.clientWidth ? 0 : -1;
}
addEventListener("resize", reachable);
new MutationObserver(reachable).observe(document, { childList: true, subtree: true });
