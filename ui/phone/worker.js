// Keeps the sheets that were opened, so that a reload without a line shows them again; only over
// TLS (or at the machine itself), as browsers have it. Whatever the server answers comes first.
"use strict";

const CACHE = "backtime-sheets-1";
const PATIENCE = 6000; // milliseconds for the server before the page that is kept is shown
const MOST = 40; // pages

self.addEventListener("install", (event) => {
  event.waitUntil(
    caches
      .open(CACHE)
      .then((cache) => cache.add("/sheet/outbox.js"))
      .then(() => self.skipWaiting()),
  );
});

self.addEventListener("activate", (event) => {
  event.waitUntil(
    caches
      .keys()
      .then((names) => Promise.all(names.filter((n) => n !== CACHE).map((n) => caches.delete(n))))
      .then(() => self.clients.claim()),
  );
});

self.addEventListener("fetch", (event) => {
  const asked = event.request;
  const where = new URL(asked.url);
  if (asked.method !== "GET" || where.origin !== self.location.origin) return;
  const page = asked.mode === "navigate" && where.pathname.startsWith("/sheet");
  if (!page && where.pathname !== "/sheet/outbox.js") return;
  event.respondWith(answer(asked, page));
});

async function answer(asked, page) {
  const cache = await caches.open(CACHE);
  const late = new Promise((_, fail) => setTimeout(() => fail(new Error("late")), PATIENCE));
  try {
    const found = await Promise.race([fetch(asked), late]);
    if (found.ok && found.type === "basic") {
      await cache.put(asked, found.clone());
      const keys = await cache.keys();
      for (const key of keys.slice(0, Math.max(0, keys.length - MOST))) await cache.delete(key);
    }
    return found;
  } catch {
    const there = await cache.match(asked);
    if (there) return there;
    if (!page) return Response.error();
    const text =
      "<!doctype html><html lang=en><meta charset=utf-8>" +
      "<meta name=viewport content='width=device-width, initial-scale=1'><title>No line</title>" +
      "<p>No line, and this sheet has not been opened on this phone yet. What you have entered " +
      "waits on this phone. <a href=''>Try again</a>";
    return new Response(text, { headers: { "content-type": "text/html; charset=utf-8" } });
  }
}
