// Keeps the page's own files, so that it opens without a network. Nothing else is fetched or kept.
const KEPT = "bay-/* digest */";
const FILES = [
  /* files */
];

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
