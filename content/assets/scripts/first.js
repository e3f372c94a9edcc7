/*
 * What has to be right before anything is painted, so it is loaded in the head: light or dark, and which unit stands
 * first, as this phone remembers them (localStorage):
 *
 *   decoder.scheme  `default` (light) or `slate` (dark); absent: as the phone is set
 *   decoder.units   `metric` or `inch` first, `metric-only` or `inch-only` without the other; absent: in the order of
 *                   each standard
 *
 * Where storage is refused both work for the page that is open.
 */
(function () {
  "use strict";

  var root = document.documentElement;
  var system = window.matchMedia("(prefers-color-scheme: dark)");
  var units = read("decoder.units");
  var scheme = read("decoder.scheme");

  function read(key) {
    try {
      return localStorage.getItem(key) || "";
    } catch (error) {
      return "";
    }
  }

  function keep(key, value) {
    try {
      if (value) localStorage.setItem(key, value);
      else localStorage.removeItem(key);
    } catch (error) {
      // A phone that keeps nothing still shows this page as asked.
    }
  }

  function isDark() {
    return scheme ? scheme === "slate" : system.matches;
  }

  function show() {
    root.classList.toggle("metric-first", /^metric/.test(units));
    root.classList.toggle("inch-first", /^inch/.test(units));
    root.classList.toggle("one-unit", /-only$/.test(units));
    if (document.body) document.body.setAttribute("data-md-color-scheme", isDark() ? "slate" : "default");
    document.querySelectorAll("[data-units]").forEach(function (button) {
      button.setAttribute("aria-pressed", String(button.dataset.units === units));
    });
    document.querySelectorAll("[data-scheme]").forEach(function (button) {
      button.setAttribute("aria-pressed", String(isDark()));
    });
  }

  root.classList.remove("no-js");
  root.classList.add("js");
  show();
  // The body is painted as soon as it is there, long before the page is read to its end.
  new MutationObserver(function (_, observer) {
    if (!document.body) return;
    observer.disconnect();
    show();
  }).observe(root, {childList: true});

  document.addEventListener("DOMContentLoaded", function () {
    document.querySelectorAll(".units, [data-scheme]").forEach(function (control) { control.hidden = false; });
    show();
  });
  document.addEventListener("click", function (event) {
    var unit = event.target.closest("[data-units]");
    if (unit) {
      units = unit.dataset.units;
      keep("decoder.units", units);
      show();
    } else if (event.target.closest("[data-scheme]")) {
      scheme = isDark() ? "default" : "slate";
      // Back to what the phone says is no choice of one's own.
      if ((scheme === "slate") === system.matches) scheme = "";
      keep("decoder.scheme", scheme);
      show();
    }
  });

  function again() {
    units = read("decoder.units");
    scheme = read("decoder.scheme");
    show();
  }

  // Another page of the site changed it, the phone did, or this page comes back from the browser's memory.
  window.addEventListener("storage", again);
  window.addEventListener("pageshow", function (event) { if (event.persisted) again(); });
  if (system.addEventListener) system.addEventListener("change", show);
})();
