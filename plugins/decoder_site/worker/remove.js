/* Keeping is switched off: deletes what an earlier worker of this site kept, and unregisters itself. */
"use strict";

self.addEventListener("install", () => self.skipWaiting());
self.addEventListener("activate", (event) => {
  event.waitUntil(caches.delete("decoder " + self.registration.scope).then(() => self.registration.unregister()));
});
