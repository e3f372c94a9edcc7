/*
 * Has the site kept on this phone, once the page is on screen: registers the worker (worker.js), keeps the vehicle that
 * is open, and offers a new version when one is complete. Nothing is registered from a stick, where storage is refused,
 * or after keeping was switched off (localStorage, key `decoder.offline`: `off`).
 *
 *   decoderOffline.ask(message)  → Promise of the worker's status; see worker/keep.js for messages
 *   decoderOffline.start()       → registers now; Promise of the registration
 *   decoderOffline.why           → '' or why this browser cannot keep anything
 */
(function () {
  "use strict";

  var base = new URL("../../", document.currentScript.src);
  var KEY = "decoder.offline";
  var started = null;
  var reloading = false;
  var why = "";
  if (!("keep" in document.documentElement.dataset)) why = "Keeping is switched off on this site.";
  else if (!/^https?:$/.test(location.protocol)) why = "It is open as files, so it is here already and needs no keeping.";
  else if (!("serviceWorker" in navigator) || !window.isSecureContext) why = "This browser keeps no sites here: a private window, an old browser, or an address without https.";
  else if (!window.DecompressionStream) why = "This browser is too old to keep a site.";

  function isOff() {
    try {
      return localStorage.getItem(KEY) === "off";
    } catch (error) {
      return false;
    }
  }

  function start() {
    if (why) return Promise.reject(new Error(why));
    if (!started) {
      started = navigator.serviceWorker.register(new URL("worker.js", base).href, {scope: base.pathname});
      started.then(watch, function () { started = null; });
    }
    return started;
  }

  function ask(message, worker) {
    return new Promise(function (done, failed) {
      var channel = new MessageChannel();
      channel.port1.onmessage = function (event) {
        if (event.data.error) failed(new Error(event.data.error));
        else done(event.data);
      };
      if (worker) worker.postMessage(message, [channel.port2]);
      else {
        navigator.serviceWorker.ready.then(function (registration) {
          registration.active.postMessage(message, [channel.port2]);
        });
      }
    });
  }

  // ---- a new version ----------------------------------------------------------------------------------------------

  function watch(registration) {
    function offer() {
      // The first worker has no one to take over from.
      if (registration.waiting && registration.active) showOffer(registration);
    }
    offer();
    registration.addEventListener("updatefound", function () {
      var worker = registration.installing;
      if (worker) worker.addEventListener("statechange", offer);
    });
  }

  function showOffer(registration) {
    if (document.querySelector(".new-version")) return;
    var bar = document.createElement("div");
    bar.className = "new-version no-print";
    bar.setAttribute("role", "status");
    var words = document.createElement("p");
    words.textContent = "A new version of these pages is on this phone.";
    bar.appendChild(words);
    bar.appendChild(button("Reload", function () {
      reloading = true;
      if (registration.waiting) registration.waiting.postMessage({ask: "take-over"});
      else location.reload();
    }));
    bar.appendChild(button("Later", function () { bar.remove(); }));
    document.body.appendChild(bar);
  }

  function button(text, pressed) {
    var made = document.createElement("button");
    made.type = "button";
    made.textContent = text;
    made.addEventListener("click", pressed);
    return made;
  }

  // ---- the vehicle that is open -----------------------------------------------------------------------------------

  function openVehicle() {
    var match = /^vehicles\/([a-z0-9-]+)\//.exec(location.pathname.slice(base.pathname.length));
    return match ? match[1] : "";
  }

  /** Fetches what is missing: a phone may have thrown parts away, or a vehicle is open that was not kept. */
  function keepUp() {
    var vehicle = openVehicle();
    ask({ask: "mend"}).then(function (status) {
      if (vehicle && status.vehicles[vehicle]) return ask({ask: "keep", vehicle: vehicle});
      return status;
    }).then(function (status) {
      document.dispatchEvent(new CustomEvent("decoder:kept", {detail: status}));
    }, function () {
      // No network, no room, or the site has just changed; the next page tries again.
    });
  }

  window.decoderOffline = {
    ask: ask,
    start: start,
    why: why,
    isOff: isOff,
    switchOff: function () {
      try { localStorage.setItem(KEY, "off"); } catch (error) { /* then nothing can be kept either */ }
      return navigator.serviceWorker.getRegistration(base.href).then(function (registration) {
        return registration && registration.unregister();
      }).then(function () { return caches.delete("decoder " + base.href); });
    },
    switchOn: function () {
      try { localStorage.removeItem(KEY); } catch (error) { /* it was never off */ }
      return start();
    },
  };
  if (why) return;

  navigator.serviceWorker.addEventListener("controllerchange", function () {
    if (reloading) location.reload();
  });

  function begin() {
    if (isOff()) return;
    var saves = navigator.connection && navigator.connection.saveData;
    navigator.serviceWorker.getRegistration(base.href).then(function (registration) {
      // Who asks to save data is not sent a megabyte unasked; the page of what is kept offers it.
      if (saves && !registration) return;
      start().then(keepUp, function () { /* refused: the page of what is kept says so */ });
    });
  }

  // Loaded by shell.js the page is on screen already.
  if (document.readyState === "complete") begin();
  else window.addEventListener("load", begin);
  window.addEventListener("online", function () { if (!isOff()) start().then(keepUp, function () {}); });
})();
