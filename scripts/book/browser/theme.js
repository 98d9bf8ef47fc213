/** Dark or light: the reader's choice, else what the system prefers; figures follow the page. */
(() => {
  const root = document.documentElement;
  const key = "evenground-theme";
  let kept = null;
  try {
    kept = localStorage.getItem(key);
  } catch {
    // a page opened from disk may have no storage: the choice then lasts as long as the page
  }
  root.dataset.theme = kept ?? (matchMedia("(prefers-color-scheme: dark)").matches ? "dark" : "light");
  addEventListener("DOMContentLoaded", () => {
    document.getElementById("book-theme").addEventListener("click", () => {
      root.dataset.theme = root.dataset.theme === "dark" ? "light" : "dark";
      try {
        localStorage.setItem(key, root.dataset.theme);
      } catch {
        // as above
      }
    });
    // On a phone the list of lessons waits above the text until it is asked for.
    const contents = document.querySelector("nav.contents details");
    if (contents) contents.open = matchMedia("(min-width: 75rem)").matches;
  });
})();
