/* Keeps the app's page and files, and answers for them without the desk. VERSION and FILES stand above: see shell.py. */

const KEPT = `pocket ${VERSION}`;
const SHELL = "/pocket/";
const DESK_PAGES = ["/pocket/brought/", "/pocket/file/"];
const listed = new Set(FILES);

addEventListener("install", (event) => event.waitUntil(keep()));

/** All or nothing. The page must be of this very version: a desk that is upgraded in between is asked again later. */
async function keep() {
  const cache = await caches.open(KEPT);
  const page = await fetch(SHELL, { cache: "no-store", redirect: "error" });
  const text = await page.clone().text();
  if (!page.ok || !text.includes(VERSION)) throw new Error("the page is of another version");
  await cache.addAll(FILES);
  await cache.put(SHELL, page);
}

addEventListener("activate", (event) => event.waitUntil(sweep()));

async function sweep() {
  const names = await caches.keys();
  await Promise.all(names.filter((name) => name.startsWith("pocket ") && name !== KEPT).map((name) => caches.delete(name)));
  await clients.claim();
}

addEventListener("fetch", (event) => {
  const { method, mode, url } = event.request;
  const { origin, pathname } = new URL(url);
  if (method !== "GET" || origin !== location.origin) return;
  const isOurs = mode === "navigate" && pathname.startsWith(SHELL) && !DESK_PAGES.some((one) => pathname.startsWith(one));
  if (isOurs) event.respondWith(kept(SHELL, event.request));
  else if (listed.has(pathname)) event.respondWith(kept(pathname, event.request));
});

async function kept(name, request) {
  const cache = await caches.open(KEPT);
  return (await cache.match(name)) ?? fetch(request);
}

addEventListener("message", (event) => {
  if (event.data === "take over") skipWaiting();
});
