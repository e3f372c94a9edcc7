/*
 * While working: three boxes to tick per joint, kept on this phone per vehicle (see my-data.js for the keys), and a
 * screen that stays on while an assembly is open, where the browser can (localStorage, key `decoder.awake`: `off`).
 *
 * A tick remembers which record it was made against. Where the record has changed since, a torque put right say, the
 * card says so until the joint is ticked anew. Where the phone keeps nothing, ticks last as long as the page.
 */
(function () {
  "use strict";

  var STEPS = ["in", "tightened", "marked"];
  var bar = document.querySelector(".working");
  if (!bar) return;
  var vehicle = bar.dataset.vehicle;
  var assembly = bar.dataset.assembly;
  var KEY = "decoder.ticks." + vehicle;
  var ticks = read();
  var refused = false;

  function read() {
    try {
      var kept = JSON.parse(localStorage.getItem(KEY) || "{}");
      return kept && typeof kept === "object" && !Array.isArray(kept) ? kept : {};
    } catch (error) {
      return {};
    }
  }

  function keep() {
    try {
      if (Object.keys(ticks).length) localStorage.setItem(KEY, JSON.stringify(ticks));
      else localStorage.removeItem(KEY);
      refused = false;
    } catch (error) {
      refused = true;
    }
  }

  function element(name, className, text) {
    var made = document.createElement(name);
    if (className) made.className = className;
    if (text !== undefined) made.textContent = text;
    return made;
  }

  function button(text, pressed) {
    var made = element("button", "plain", text);
    made.type = "button";
    made.addEventListener("click", pressed);
    return made;
  }

  // ---- an assembly's page -----------------------------------------------------------------------------------------

  var cards = [].slice.call(document.querySelectorAll("[data-ticks]"));

  function idOf(card) {
    return assembly + "/" + card.dataset.ticks;
  }

  function show() {
    var counts = {in: 0, tightened: 0, marked: 0};
    cards.forEach(function (card) {
      var done = ticks[idOf(card)] || {};
      var any = false;
      card.querySelectorAll("input").forEach(function (box) {
        box.checked = Boolean(done[box.name]);
        if (box.checked) counts[box.name] += 1;
        any = any || box.checked;
      });
      var changed = any && done.record && done.record !== card.dataset.record;
      var note = card.querySelector(".changed");
      if (changed && !note) {
        note = element("p", "changed");
        note.appendChild(element("strong", "", "The record has changed since this was ticked: read it again. "));
        note.appendChild(button("I have read it", function () {
          ticks[idOf(card)].record = card.dataset.record;
          keep();
          show();
        }));
        card.appendChild(note);
      } else if (!changed && note) {
        note.remove();
      }
    });
    var words = "Of " + cards.length + " joints: " + STEPS.map(function (step) { return counts[step] + " " + step; }).join(", ") + ".";
    if (refused) words += " This phone keeps nothing: the ticks are gone when the page closes.";
    bar.querySelector("[data-progress]").textContent = words;
    bar.querySelector("[data-clear]").hidden = !(counts.in + counts.tightened + counts.marked);
    nag();
  }

  function nag() {
    var line = bar.querySelector("[data-nag]");
    line.hidden = !(window.decoderMyData && window.decoderMyData.isUnsaved());
  }

  function clear() {
    if (!window.confirm("Take all ticks of this assembly off?")) return;
    cards.forEach(function (card) { delete ticks[idOf(card)]; });
    keep();
    show();
  }

  function tick(event) {
    var box = event.target;
    var card = box.closest("[data-ticks]");
    ticks = read();
    var done = ticks[idOf(card)] || {};
    if (box.checked) {
      done[box.name] = new Date().toISOString();
      done.record = card.dataset.record;
    } else {
      delete done[box.name];
    }
    if (STEPS.some(function (step) { return done[step]; })) ticks[idOf(card)] = done;
    else delete ticks[idOf(card)];
    keep();
    show();
  }

  // ---- a screen that stays on -------------------------------------------------------------------------------------

  var lock = null;

  function wantsAwake() {
    try {
      return localStorage.getItem("decoder.awake") !== "off";
    } catch (error) {
      return true;
    }
  }

  function awake(box) {
    if (!box.checked) {
      if (lock) lock.release();
      lock = null;
      return;
    }
    if (lock || document.visibilityState !== "visible") return;
    navigator.wakeLock.request("screen").then(function (given) {
      lock = given;
      lock.addEventListener("release", function () { lock = null; });
    }, function () {
      // Refused, with a low battery say; the next time the page comes to the front it is asked for again.
    });
  }

  function keepAwake() {
    var box = bar.querySelector("[data-awake]");
    if (!navigator.wakeLock) return;
    box.closest("label").hidden = false;
    box.checked = wantsAwake();
    box.addEventListener("change", function () {
      try {
        if (box.checked) localStorage.removeItem("decoder.awake");
        else localStorage.setItem("decoder.awake", "off");
      } catch (error) {
        // Then it is asked for again on the next page.
      }
      awake(box);
    });
    document.addEventListener("visibilitychange", function () { awake(box); });
    awake(box);
  }

  // ---- a vehicle's page -------------------------------------------------------------------------------------------

  function summarise() {
    var links = [].slice.call(bar.querySelectorAll("[data-assembly-of]"));
    var any = false;
    links.forEach(function (link) {
      var counts = {in: 0, tightened: 0, marked: 0};
      Object.keys(ticks).forEach(function (id) {
        if (id.indexOf(link.dataset.assemblyOf + "/") !== 0) return;
        STEPS.forEach(function (step) { if (ticks[id][step]) counts[step] += 1; });
      });
      var total = counts.in + counts.tightened + counts.marked;
      link.closest("li").hidden = !total;
      any = any || total > 0;
      link.querySelector("small").textContent = STEPS.map(function (step) { return counts[step] + " " + step; }).join(", ");
    });
    bar.hidden = !any;
  }

  if (assembly) {
    bar.hidden = false;
    cards.forEach(function (card) {
      card.disabled = false;
      card.addEventListener("change", tick);
    });
    bar.querySelector("[data-clear]").addEventListener("click", clear);
    keepAwake();
    show();
    // A browser that puts forms back as they were does so after this.
    window.addEventListener("pageshow", show);
  } else {
    summarise();
  }
  // Another page of the site ticked something.
  window.addEventListener("storage", function (event) {
    if (event.key !== KEY && event.key !== null) return;
    ticks = read();
    if (assembly) show();
    else summarise();
  });
})();
