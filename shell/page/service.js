// Keeps the page for days without a network: everything is stored when it is first opened, and served from there. What the page has fetched
// already is asked for by its tag, not sent again.
const version = 'VERSION';
const list = [/* LIST */];
const shelf = `pumpwright-${version}`;

self.addEventListener('install', (event) => {
  const fresh = list.map((url) => new Request(url, { cache: 'no-cache' }));
  event.waitUntil(caches.open(shelf).then((cache) => cache.addAll(fresh)));
});

self.addEventListener('activate', (event) => {
  event.waitUntil((async () => {
    for (const name of await caches.keys()) {
      if (name.startsWith('pumpwright-') && name !== shelf) await caches.delete(name);
    }
    await self.clients.claim();
  })());
});

// A page that is open keeps its version until somebody says so.
self.addEventListener('message', (event) => {
  if (event.data === 'take over') self.skipWaiting();
});

self.addEventListener('fetch', (event) => {
  const url = new URL(event.request.url);
  if (event.request.method !== 'GET' || url.origin !== self.location.origin) return;
  const wanted = event.request.mode === 'navigate' ? './' : event.request;
  event.respondWith((async () => (await (await caches.open(shelf)).match(wanted)) ?? fetch(event.request))());
});
