// Service worker that caches the page's own files, so that the page opens without a network. It caches nothing else.
// The program writes a line before this script: the cache's name, with a digest of the files, and the files' names.
const { name: KEPT, files: FILES } = self.bayCache;

self.addEventListener("install", (event) => {
  event.waitUntil(
    caches
      .open(KEPT)
      .then((kept) => kept.addAll(FILES))
      .then(() => self.skipWaiting()),
  );
});

self.addEventListener("activate", (event) => {
  event.waitUntil(
    caches
      .keys()
      .then((names) =>
        Promise.all(
          names.filter((name) => name.startsWith("bay-") && name !== KEPT).map((name) => caches.delete(name)),
        ),
      )
      .then(() => self.clients.claim()),
  );
});

self.addEventListener("fetch", (event) => {
  event.respondWith(
    caches
      .open(KEPT)
      .then((kept) => kept.match(event.request, { ignoreSearch: true }))
      .then((found) => found || fetch(event.request)),
  );
});
