/* Keeps what was opened of the handbook, for where there is no signal. While there is one, each part is asked for anew. */
const KEPT = "handbook", PATIENCE = 4000; /* ms that a weak signal is waited for, where a copy is at hand */
const PARTS = new Set(["document", "style", "script", "image", "font"]);

const plain = url => url.replace(/[?#].*$/, "");
const ours = url => url.startsWith(self.registration.scope);

const fresh = async request => {
  const cache = await caches.open(KEPT), copy = await cache.match(plain(request.url));
  try {
    const answer = await fetch(request, copy ? { signal: AbortSignal.timeout(PATIENCE) } : {});
    if (answer.ok) await cache.put(plain(request.url), answer.clone());
    return answer;
  } catch (failed) {
    if (copy) return copy;
    throw failed;
  }
};

self.addEventListener("install", () => self.skipWaiting());
self.addEventListener("activate", event => event.waitUntil(self.clients.claim()));
self.addEventListener("fetch", event => {
  const { request } = event;
  if (request.method === "GET" && PARTS.has(request.destination) && ours(request.url)) event.respondWith(fresh(request));
});
/* The page that started this was loaded without it: it names itself and what it loaded. */
self.addEventListener("message", event => {
  const urls = [...new Set(event.data.map(plain))].filter(ours);
  event.waitUntil(caches.open(KEPT).then(cache => Promise.all(urls.map(url => cache.add(url).catch(() => null)))));
});
