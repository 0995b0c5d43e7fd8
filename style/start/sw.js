// Serves the page from the cache, so that it opens with no signal. A new version waits until the page asks for it.
const NAME = "stillbright-__STAMP__";
const FILES = __FILES__;

self.addEventListener("install", (event) => {
  event.waitUntil(
    caches
      .open(NAME)
      .then((cache) => cache.addAll(FILES.map((f) => new Request(f, { cache: "reload" })))),
  );
});
self.addEventListener("activate", (event) => {
  event.waitUntil(
    caches
      .keys()
      .then((names) =>
        Promise.all(
          names
            .filter((n) => n.startsWith("stillbright-") && n !== NAME)
            .map((n) => caches.delete(n)),
        ),
      )
      .then(() => self.clients.claim()),
  );
});
self.addEventListener("message", (event) => {
  if (event.data === "skip-waiting") self.skipWaiting();
});
self.addEventListener("fetch", (event) => {
  const { request } = event;
  if (request.method !== "GET" || new URL(request.url).origin !== self.location.origin) return;
  const wanted = request.mode === "navigate" ? "./index.html" : request;
  event.respondWith(
    caches
      .open(NAME)
      .then((cache) => cache.match(wanted, { ignoreSearch: request.mode === "navigate" }))
      .then((hit) => hit || fetch(request)),
  );
});
