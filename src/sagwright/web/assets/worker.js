// Keeps the last look at each bench readable where its page is opened while the server cannot be reached. Nothing that is
// sent goes through it: what waits is kept by the page.

const KEPT = "bench";
const MOST = 12; // pages: what one device works on
const BENCH = /^\/jobs\/\d+\/bench(\/all)?$/;

addEventListener("install", () => skipWaiting());
addEventListener("activate", (event) => event.waitUntil(clients.claim()));
addEventListener("fetch", (event) => {
  const { pathname } = new URL(event.request.url);
  if (event.request.method === "GET" && BENCH.test(pathname)) event.respondWith(looked(event.request, pathname));
});

async function looked(request, path) {
  const cache = await caches.open(KEPT);
  try {
    const answer = await fetch(request);
    if (answer.ok) await store(cache, path, answer.clone());
    return answer;
  } catch (gone) {
    const last = await cache.match(path);
    if (last) return last;
    throw gone;
  }
}

async function store(cache, path, answer) {
  await cache.delete(path); // so that the oldest stands first
  await cache.put(path, answer);
  const all = await cache.keys();
  for (const old of all.slice(0, -MOST)) await cache.delete(old);
}
