/*
 * Which unit stands first, as this phone remembers it (localStorage, key `decoder.units`: `metric`, `inch`, or nothing
 * for the order of each standard). Loaded in the head, so that no page turns its figures round before one's eyes.
 */
(function () {
  "use strict";

  var KEY = "decoder.units";
  var root = document.documentElement;

  function kept() {
    try {
      return localStorage.getItem(KEY) || "";
    } catch (error) {
      return "";
    }
  }

  function show(order) {
    root.classList.toggle("metric-first", order === "metric");
    root.classList.toggle("inch-first", order === "inch");
    document.querySelectorAll("[data-units]").forEach(function (button) {
      button.setAttribute("aria-pressed", String(button.dataset.units === order));
    });
  }

  show(kept());

  document.addEventListener("DOMContentLoaded", function () {
    document.querySelectorAll(".units").forEach(function (group) {
      group.hidden = false;
      group.addEventListener("click", function (event) {
        var button = event.target.closest("[data-units]");
        if (!button) return;
        try {
          if (button.dataset.units) localStorage.setItem(KEY, button.dataset.units);
          else localStorage.removeItem(KEY);
        } catch (error) {
          // A phone that keeps nothing still turns this page round.
        }
        show(button.dataset.units);
      });
    });
    show(kept());
  });

  // Another page of the site changed it, or this one comes back from the browser's memory.
  window.addEventListener("storage", function (event) { if (event.key === KEY || event.key === null) show(kept()); });
  window.addEventListener("pageshow", function (event) { if (event.persisted) show(kept()); });
})();
