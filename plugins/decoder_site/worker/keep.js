/*
 * The worker that keeps the site on this phone. `LIST`, written before this by the build, names every pack: its file,
 * its hash, what it holds. See decoder_site/packing.py for what a pack is.
 *
 * Install fetches the packs that are not here yet and counts as done only when all are, those of kept vehicles too;
 * until the person asks for the new version the old worker goes on with the old packs. A pack is checked against its
 * hash as it arrives, so that a site changed half-way is never mixed. What was fetched before an interruption stays.
 *
 * Messages to it, each answered through the port that comes along: {ask: "status"}, {ask: "keep", vehicle},
 * {ask: "drop", vehicle}, {ask: "mend"}, {ask: "take-over"}.
 */
"use strict";

const ROOT = self.registration.scope;
const STORE = "decoder " + ROOT;
const TYPES = {
  html: "text/html; charset=utf-8", css: "text/css; charset=utf-8", js: "text/javascript; charset=utf-8",
  svg: "image/svg+xml", png: "image/png", jpg: "image/jpeg", webp: "image/webp", ico: "image/x-icon", woff2: "font/woff2",
};

// ---- packs in the store -----------------------------------------------------------------------------------------------

function keyOf(pack) {
  return ROOT + pack.file + "?" + encodeURIComponent(pack.integrity);
}

async function isHere(store, pack) {
  return Boolean(await store.match(keyOf(pack)));
}

/** Fetches what is missing of these packs, one after another: each that has arrived is kept whatever comes next. */
async function keep(packs) {
  const store = await caches.open(STORE);
  for (const pack of packs) {
    if (await isHere(store, pack)) continue;
    const response = await fetch(ROOT + pack.file, {integrity: pack.integrity, cache: "no-store"});
    if (!response.ok) throw new Error(pack.file + ": " + response.status);
    const body = await response.blob();
    await store.put(keyOf(pack), new Response(body, {headers: {"x-kept": new Date().toISOString()}}));
  }
}

function packsOf(vehicle) {
  return LIST.packs.filter((pack) => pack.vehicle === vehicle);
}

/** Vehicles of which any version is here, read from the names of what is stored. */
async function keptVehicles(store) {
  const files = (await store.keys()).map((request) => request.url.slice(ROOT.length).split("?")[0]);
  return Object.keys(LIST.vehicles).filter((slug) => packsOf(slug).some((pack) => files.includes(pack.file)));
}

async function required() {
  const store = await caches.open(STORE);
  const vehicles = ["", ...await keptVehicles(store)];
  return LIST.packs.filter((pack) => vehicles.includes(pack.vehicle));
}

async function dropUnlisted() {
  const store = await caches.open(STORE);
  const listed = LIST.packs.map(keyOf);
  for (const request of await store.keys()) {
    if (!listed.includes(request.url)) await store.delete(request);
  }
}

// ---- reading a pack -----------------------------------------------------------------------------------------------------

const opened = new Map();

async function read(pack) {
  const store = await caches.open(STORE);
  const kept = await store.match(keyOf(pack));
  if (!kept) return null;
  return new Response(kept.body.pipeThrough(new DecompressionStream("gzip"))).json();
}

/** A pack's content; the last few stay open while the worker lives. */
function open(pack) {
  let content = opened.get(pack.name);
  opened.delete(pack.name);
  if (!content) content = read(pack).catch(() => null);
  opened.set(pack.name, content);
  if (opened.size > 4) opened.delete(opened.keys().next().value);
  content.then((value) => { if (!value) opened.delete(pack.name); });
  return content;
}

/** The pack that would hold an address, or undefined where the site has no such folder. */
function packOf(address) {
  const parts = address.split("/");
  const place = parts[0] === "vehicles" && parts.length > 2 && LIST.vehicles[parts[1]] ? "vehicles/" + parts[1] : parts[0];
  return LIST.packs.filter((pack) => pack.holds.includes(place) && pack.first <= address).pop();
}

function bytesOf(base64) {
  return Uint8Array.from(atob(base64), (sign) => sign.charCodeAt(0));
}

/** The kept file at an address, or null. */
async function fileAt(address) {
  const pack = packOf(address);
  const content = pack && await open(pack);
  const file = content && content.files[address];
  if (!file) return null;
  const body = typeof file === "string" ? bytesOf(file) : file.map((number) => content.pieces[number]).join("");
  return new Response(body, {headers: {"content-type": TYPES[address.split(".").pop()]}});
}

// ---- answering ------------------------------------------------------------------------------------------------------------

async function answer(request) {
  const url = new URL(request.url);
  const address = decodeURIComponent((url.origin + url.pathname).slice(ROOT.length));
  const isPage = request.mode === "navigate";
  const folder = address === "" || address.endsWith("/");
  const kept = await fileAt(folder ? address + "index.html" : address);
  if (kept) return kept;
  if (isPage && !folder && await fileAt(address + "/index.html")) {
    // Without its slash a page's own links would lead astray.
    return Response.redirect(ROOT + address + "/" + url.search, 301);
  }
  try {
    return await fetch(request);
  } catch (error) {
    if (!isPage) throw error;
    return Response.redirect(ROOT + "not-kept/?page=" + encodeURIComponent(address + url.search), 302);
  }
}

self.addEventListener("fetch", (event) => {
  if (event.request.method !== "GET" || !event.request.url.startsWith(ROOT)) return;
  event.respondWith(answer(event.request));
});

self.addEventListener("install", (event) => {
  event.waitUntil(required().then(keep));
});

self.addEventListener("activate", (event) => {
  event.waitUntil(dropUnlisted().then(() => self.clients.claim()));
});

// ---- messages -------------------------------------------------------------------------------------------------------------

async function status() {
  const store = await caches.open(STORE);
  const packs = [];
  for (const pack of LIST.packs) {
    const kept = await store.match(keyOf(pack));
    packs.push({title: pack.title, vehicle: pack.vehicle, bytes: pack.bytes, kept: kept ? kept.headers.get("x-kept") : null});
  }
  return {version: LIST.version, vehicles: LIST.vehicles, packs: packs};
}

async function drop(vehicle) {
  const store = await caches.open(STORE);
  for (const pack of packsOf(vehicle)) {
    await store.delete(keyOf(pack));
    opened.delete(pack.name);
  }
}

const TASKS = {
  status: () => null,
  keep: (message) => keep(packsOf(message.vehicle)),
  drop: (message) => drop(message.vehicle),
  mend: () => required().then(keep),
  "take-over": () => self.skipWaiting(),
};

self.addEventListener("message", (event) => {
  const port = event.ports[0];
  event.waitUntil(
    Promise.resolve(TASKS[event.data.ask](event.data)).then(status)
      .then((told) => port && port.postMessage(told), (error) => port && port.postMessage({error: String(error.message || error)})),
  );
});
