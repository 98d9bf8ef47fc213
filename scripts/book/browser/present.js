/**
 * The presenting view: large type, code and contents folded, figures and panels as live as ever. The button turns it on and off, so
 * does `?present` in the address; it lasts from lesson to lesson. Page down and up, which remote controls send, and the
 * arrows to the side step from part to part.
 */
const root = document.documentElement;
const key = "evenground-present";
set(new URLSearchParams(location.search).has("present") || remembered());

addEventListener("DOMContentLoaded", () => {
  const button = document.getElementById("book-present");
  const show = () => {
    const on = presenting();
    button.setAttribute("aria-pressed", String(on));
    for (const folded of document.querySelectorAll("details.code, nav.contents details")) folded.open = !on;
    // Where a page from disk has no storage, the address carries it on.
    for (const link of document.querySelectorAll("nav a[href*='.html'], header a")) {
      const [page, part] = link.getAttribute("href").replace("?present", "").split("#");
      link.setAttribute("href", `${page}${on ? "?present" : ""}${part ? `#${part}` : ""}`);
    }
  };
  button.addEventListener("click", () => {
    const place = inView();
    set(!presenting());
    show();
    place?.scrollIntoView();
  });
  show();
  const list = document.querySelector("nav.contents details");
  list?.addEventListener("click", ({ target }) => {
    if (presenting() && target.closest("a")) list.open = false;
  });
  // Before a slider's own keys are kept from the page.
  addEventListener("keydown", step, true);
});

function presenting() {
  return root.dataset.presenting !== undefined;
}

function set(on) {
  if (on) root.dataset.presenting = "";
  else delete root.dataset.presenting;
  try {
    localStorage.setItem(key, on ? "on" : "");
  } catch {
    // a page opened from disk may have no storage
  }
  const address = new URL(location.href);
  if (on === address.searchParams.has("present")) return;
  address.search = on ? "?present" : "";
  history.replaceState(null, "", address);
}

function remembered() {
  try {
    return localStorage.getItem(key) === "on";
  } catch {
    return false;
  }
}

const steps = { PageDown: 1, ArrowRight: 1, PageUp: -1, ArrowLeft: -1 };

/** To the next part, or the one before; through a part that is taller than the window by windowfuls. */
function step(event) {
  const way = steps[event.key];
  if (!presenting() || !way || event.ctrlKey || event.altKey || event.metaKey || event.shiftKey) return;
  // In a player, a text field or code that scrolls these keys have a meaning of their own. A slider keeps the arrows; a remote control,
  // which sends the others, goes on though somebody has just moved one.
  const slider = event.target.closest("input[type=range]");
  if (slider ? /^Arrow/.test(event.key) : event.target.closest("input, textarea, select, audio, dialog, pre"))
    return;
  event.preventDefault();
  event.stopPropagation();
  const edge = document.querySelector("header").offsetHeight;
  const room = innerHeight - edge;
  const tops = parts().map((part) => part.getBoundingClientRect().top - edge);
  const next = way > 0 ? tops.find((top) => top > 8) : tops.findLast((top) => top < -8);
  const far = 0.85 * room;
  const distance = way > 0 ? Math.min(next ?? far, Math.max(far, 1)) : Math.max(next ?? -far, -far);
  const whole = next !== undefined && Math.abs(next) <= room ? next : distance;
  scrollBy({ top: whole, behavior: "instant" });
}

/** Each heading, text under it, or cell is a part. */
const parts = () => Array.from(document.querySelectorAll("main > section"));

/** What stands at the top of the window now: letters change their size, the reader's place stays. */
const inView = () => parts().find((part) => part.getBoundingClientRect().bottom > 60);
