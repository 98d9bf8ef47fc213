/** Keeps the book in the browser at the first visit, so that it opens without a network from then on. */
const { version, files } = self.evengroundBook;

self.addEventListener("install", (event) => {
  const fill = async () => {
    const cache = await caches.open(version);
    // One after the other: the lesson that is open comes first.
    for (const file of files) await cache.add(file);
    await self.skipWaiting();
  };
  event.waitUntil(fill());
});

self.addEventListener("activate", (event) => {
  const clear = async () => {
    for (const name of await caches.keys()) if (name !== version) await caches.delete(name);
    await self.clients.claim();
  };
  event.waitUntil(clear());
});

self.addEventListener("fetch", (event) => {
  const { origin, pathname } = new URL(event.request.url);
  if (origin !== location.origin || event.request.method !== "GET") return;
  const answer = async () => {
    const cache = await caches.open(version);
    const kept = await cache.match(pathname.endsWith("/") ? `${pathname}index.html` : pathname);
    return kept ?? fetch(event.request);
  };
  event.respondWith(answer());
});
