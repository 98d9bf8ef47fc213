/** The first page of the course as static files. */
export const startPage = `<!doctype html>
<html lang="en">
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>Evenground</title>
<link rel="icon" href="data:,">
<style>
:root { color-scheme: light dark; }
body { font: 1.1rem/1.6 system-ui, sans-serif; max-width: 40rem; margin: 3rem auto; padding: 0 1rem; }
li { margin: 1rem 0; }
</style>
<main>
<h1>Evenground</h1>
<p>How loud the subs, and where to stand to judge it: a course for system technicians. It runs in this browser, nothing is installed, and what you do stays on this computer.</p>
<ul>
<li><a href="book/index.html">The book</a>: read, change the cells, run them. Works on a telephone too.</li>
<li><a href="jupyter/lab/index.html?path=01-one-show.ipynb">JupyterLab</a>: the same lessons as notebooks, with files of your own beside them.</li>
</ul>
<p>Both open without a network once they have been open for a minute.</p>
</main>
<script>
if (location.protocol.startsWith("http") && "serviceWorker" in navigator) navigator.serviceWorker.register("offline.js").catch(function () {});
</script>
</html>
`;
