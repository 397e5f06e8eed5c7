/* Keeps this site on the device, and answers from there. SITE, the line above, is written with each build.

   Caches are named `mothermold PATH EDITION BUILD`: two books of one host never touch each other's. Only files of this build
   are kept, each told by its digest; all else goes past to the server. */
"use strict";
const HOME = new URL(self.registration.scope);
const MINE = "mothermold " + HOME.pathname + " ";
const NAME = MINE + SITE.edition + " " + SITE.build;
const FILES = Object.assign({}, SITE.first, SITE.later);
const AT_ONCE = 6;

/* Written as pages link to it, with the @ of a version as it is. */
const urlOf = (address) => HOME.href + address.split("/").map(encodeURIComponent).join("/").replace(/%40/g, "@");
const known = (address) => Object.prototype.hasOwnProperty.call(FILES, address);

/* The address in the list that a request means; null where it means none of ours. */
function addressOf(href) {
  const url = new URL(href);
  if (url.origin !== HOME.origin || !url.pathname.startsWith(HOME.pathname)) { return null; }
  let asked;
  try { asked = decodeURIComponent(url.pathname.slice(HOME.pathname.length)); } catch (odd) { return null; }
  /* Some servers show a page without its ending, and all show a folder by its index. */
  return [asked, asked + ".html", asked + "index.html"].find(known) || null;
}

async function earlier() {
  return (await caches.keys()).filter((name) => name.startsWith(MINE));
}

function wider(name) {
  return SITE.editions.indexOf(name.slice(MINE.length).split(" ")[0]) < SITE.editions.indexOf(SITE.edition);
}

/* A response to be kept, or null where its bytes are not those of this build. A fresh one, since a browser refuses a
   page that was redirected on its way. */
async function checked(address, response) {
  if (!response.ok) { return null; }
  const data = await response.arrayBuffer();
  const sum = new Uint8Array(await crypto.subtle.digest("SHA-256", data));
  const digest = Array.from(sum, (byte) => byte.toString(16).padStart(2, "0")).join("");
  if (!digest.startsWith(FILES[address])) { return null; }
  const headers = new Headers(response.headers);
  headers.delete("content-encoding");
  headers.delete("content-length");
  return new Response(data, { headers: headers });
}

async function loaded(address, old) {
  for (const cache of old) {
    const kept = await cache.match(urlOf(address));
    const same = kept && await checked(address, kept);
    if (same) { return same; }
  }
  return checked(address, await fetch(urlOf(address), { cache: "reload" }));
}

/* Everything kept at the first visit: what an earlier build left and did not change is taken from there. Broken off, it
   goes on at the next visit where it stopped. */
async function keep() {
  const names = await earlier();
  /* A narrower edition neither waits nor takes over anything. */
  if (names.some(wider)) {
    await Promise.all(names.filter(wider).map((name) => caches.delete(name)));
    await self.skipWaiting();
  }
  const old = await Promise.all(names.filter((name) => !wider(name)).map((name) => caches.open(name)));
  const mine = await caches.open(NAME);
  const waiting = Object.keys(SITE.first);
  async function work() {
    for (let address = waiting.shift(); address !== undefined; address = waiting.shift()) {
      if (await mine.match(urlOf(address))) { continue; }
      const response = await loaded(address, old);
      if (!response) { waiting.length = 0; throw new Error("not of this build: " + address); }
      await mine.put(urlOf(address), response);
    }
  }
  await Promise.all(Array.from({ length: AT_ONCE }, work));
  /* Pages visited under an earlier build stay, where they are still the same. */
  for (const cache of old) {
    for (const request of await cache.keys()) {
      const address = addressOf(request.url);
      if (!address || await mine.match(urlOf(address))) { continue; }
      const same = await checked(address, await cache.match(request));
      if (same) { await mine.put(urlOf(address), same); }
    }
  }
}

async function answer(event, address) {
  const request = event.request;
  /* Where the cache was deleted it stays so: somebody wanted it. */
  const cache = await caches.has(NAME) ? await caches.open(NAME) : null;
  const kept = cache && await cache.match(urlOf(address));
  if (kept) { return kept; }
  let response;
  try {
    response = await fetch(new Request(request, { cache: "no-cache" }));
  } catch (cut) {
    /* Of a photo the small one is kept with its page; it is better than none. */
    const small = address.replace(/^(photos\/.+)-1200\.jpg$/, "$1-480.jpg");
    return (cache && small !== address && await cache.match(urlOf(small))) || missing(request, address);
  }
  if (cache && response.ok) {
    const copy = response.clone();
    event.waitUntil(checked(address, copy).then((same) => same && cache.put(urlOf(address), same)).catch(() => {}));
  }
  return response;
}

/* A page of its own for what is not there: at its own address, so that its links hold. */
function missing(request, address) {
  if (request.mode !== "navigate") { return Response.error(); }
  return Response.redirect(urlOf("offline.html") + (address ? "#" + urlOf(address).slice(HOME.href.length) : ""));
}

self.addEventListener("install", (event) => { event.waitUntil(keep()); });

self.addEventListener("activate", (event) => {
  event.waitUntil((async () => {
    const names = await earlier();
    await Promise.all(names.filter((name) => name !== NAME).map((name) => caches.delete(name)));
    await self.clients.claim();
  })());
});

self.addEventListener("fetch", (event) => {
  if (event.request.method !== "GET") { return; }
  const address = addressOf(event.request.url);
  if (address) {
    event.respondWith(answer(event, address));
  } else if (event.request.mode === "navigate") {
    event.respondWith(fetch(event.request).catch(() => missing(event.request, null)));
  }
});

self.addEventListener("message", (event) => {
  if (event.data === "take over") { event.waitUntil(self.skipWaiting()); }
  if (event.data === "which") {
    const port = event.ports[0];
    event.waitUntil(caches.has(NAME).then((there) => (there ? undefined : keep()))
      .then(() => port.postMessage(NAME), () => port.postMessage("")));
  }
});
