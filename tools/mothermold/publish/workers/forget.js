/* Takes the place of whatever worker stood here, deletes what this site kept on the device, and goes. Other books of the
   same host keep theirs. Nothing is reloaded: whoever is in the middle of a step stays there. */
"use strict";
const MINE = "mothermold " + new URL(self.registration.scope).pathname + " ";

self.addEventListener("install", (event) => { event.waitUntil(self.skipWaiting()); });

self.addEventListener("activate", (event) => {
  event.waitUntil((async () => {
    const names = (await caches.keys()).filter((name) => name.startsWith(MINE));
    await Promise.all(names.map((name) => caches.delete(name)));
    await self.registration.unregister();
  })());
});
