// Keeps the last look at each bench readable where its page is opened while the server cannot be reached, with the
// scripts and styles it needs. Nothing that is sent goes through it: what waits is kept by the page.

const KEPT = "bench";
const PARTS = "parts";
const MOST = 12; // pages: what one device works on
const PATIENCE = 8_000; // ms for an answer
const BENCH = /^\/jobs\/\d+\/bench(\/all)?$/;

addEventListener("install", () => skipWaiting());
addEventListener("activate", (event) => event.waitUntil(clients.claim()));
addEventListener("fetch", (event) => {
  const { pathname } = new URL(event.request.url);
  if (event.request.method !== "GET") return;
  if (BENCH.test(pathname)) event.respondWith(looked(event, KEPT, pathname));
  else if (pathname.startsWith("/assets/")) event.respondWith(looked(event, PARTS, pathname));
});

async function looked(event, name, path) {
  try {
    const answer = await fetch(event.request, { signal: AbortSignal.timeout(PATIENCE) });
    if (answer.ok) event.waitUntil(store(name, path, answer.clone()).catch(() => {})); // no room: then it is not kept
    return answer;
  } catch (gone) {
    const last = await (await caches.open(name)).match(path);
    if (last) return last;
    throw gone;
  }
}

async function store(name, path, answer) {
  const cache = await caches.open(name);
  const before = await cache.keys();
  const here = (request) => new URL(request.url).pathname;
  if (name === KEPT && before.some((request) => here(request) === path)) await cache.delete(path); // so that the oldest stands first
  await cache.put(path, answer);
  const folder = (one) => one.split("/")[2];
  const old = name === KEPT ? before.filter((request) => here(request) !== path).slice(0, -(MOST - 1)) : before.filter((request) => folder(here(request)) !== folder(path));
  for (const request of old) await cache.delete(request);
}
