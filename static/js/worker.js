// The service worker, where the connection is encrypted or the tablet its own server: pages of an open overhaul open
// without the server, from the tablet's memory. It answers page loads and static files, and nothing that stores.
importScripts("/static/js/tablet_store.js");

const SHELL = "/on-this-tablet";
const CACHE = "wearbook-1";
const longest_ms = 6000;
const { store } = globalThis.tablet;

// The list of what is on this tablet, as nobody in particular sees it, with every file that it needs.
async function fetch_shell() {
  const answer = await fetch(SHELL, { credentials: "omit" });
  if (!answer.ok) throw new Error("the list of this tablet did not come");
  const cache = await caches.open(CACHE);
  await cache.put(SHELL, answer.clone());
  const files = [...(await answer.text()).matchAll(/(?:src|href)="(\/static\/[^"]+)"/g)].map(([, path]) => path);
  await cache.addAll(files);
}

async function from_cache_first(request) {
  const cache = await caches.open(CACHE);
  const kept = await cache.match(request);
  if (kept) return kept;
  const answer = await fetch(request);
  if (answer.ok && new URL(request.url).search) await cache.put(request, answer.clone());
  return answer;
}

const as_page = (html) => new Response(html, { headers: { "content-type": "text/html; charset=utf-8", "content-security-policy": POLICY } });
// What is shown from memory is held to the policy that every page of the book has.
const POLICY =
  "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; connect-src 'self'; font-src 'self'; form-action 'self'; base-uri 'none'";

async function from_memory(request) {
  const page = request.method === "GET" ? await store.get_page(request.url).catch(() => null) : null;
  if (page) return as_page(page.html);
  if (new URL(request.url).pathname !== SHELL) return Response.redirect(`${SHELL}?without-server`, 303);
  return (await (await caches.open(CACHE)).match(SHELL)) ?? Response.error();
}

// The server's answer, where one comes in time; a form that was sent is never sent again from here.
async function from_server_first(request) {
  const limit = request.method === "GET" ? AbortSignal.timeout(longest_ms) : undefined;
  try {
    return await fetch(request, { signal: limit });
  } catch {
    return from_memory(request);
  }
}

addEventListener("install", (event) => event.waitUntil(fetch_shell().then(() => skipWaiting())));
addEventListener("activate", (event) => event.waitUntil(clients.claim()));
addEventListener("fetch", (event) => {
  const address = new URL(event.request.url);
  if (address.origin !== location.origin) return;
  if (event.request.mode === "navigate") event.respondWith(from_server_first(event.request));
  else if (event.request.method === "GET" && address.pathname.startsWith("/static/")) event.respondWith(from_cache_first(event.request));
});
addEventListener("message", (event) => event.waitUntil(fetch_shell().catch(() => {})));
