/** Keeps the pages beside it in the browser at the first visit, so that they open without a network from then on. */
const { version, files, pause } = self.evengroundFiles;
/** Other pages at this address keep things of their own. */
const own = `evenground ${registration.scope} `;

self.addEventListener("install", (event) => {
  const fill = async () => {
    const cache = await caches.open(own + version);
    // The page's own first moments are left to it.
    await new Promise((over) => setTimeout(over, pause));
    // One after the other: the page that is open comes first.
    for (const file of files) await cache.add(file);
    await self.skipWaiting();
  };
  event.waitUntil(fill());
});

self.addEventListener("activate", (event) => {
  const clear = async () => {
    for (const name of await caches.keys())
      if (name.startsWith(own) && name !== own + version) await caches.delete(name);
    await self.clients.claim();
  };
  event.waitUntil(clear());
});

self.addEventListener("fetch", (event) => {
  const { origin, pathname } = new URL(event.request.url);
  if (origin !== location.origin || event.request.method !== "GET") return;
  const answer = async () => {
    const cache = await caches.open(own + version);
    const kept = await cache.match(pathname.endsWith("/") ? `${pathname}index.html` : pathname);
    return kept ?? fetch(event.request);
  };
  event.respondWith(answer());
});
