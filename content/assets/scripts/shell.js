/*
 * What every page does beside its own job: the menu, the title in the header, what folds, and loading what can wait.
 *
 * The search (search.js) and keeping (offline.js) are loaded once the page is on screen, on the identify page once the
 * first answer is; the search earlier where someone asks for it.
 */
(function () {
  "use strict";

  var folder = new URL("../scripts/", document.currentScript.src).href;
  var drawer = document.getElementById("__drawer");
  var menu = document.querySelector("[data-menu]");

  // ---- menu -------------------------------------------------------------------------------------------------------

  function setMenu(open) {
    drawer.checked = open;
    menu.setAttribute("aria-expanded", String(open));
    if (open) document.querySelector("#drawer a").focus();
  }

  menu.addEventListener("click", function () { setMenu(!drawer.checked); });
  drawer.addEventListener("change", function () { setMenu(drawer.checked); });
  document.addEventListener("keydown", function (event) {
    if (event.key !== "Escape" || !drawer.checked) return;
    setMenu(false);
    menu.focus();
  });
  // A link to the page that is open would leave the menu over it.
  document.getElementById("drawer").addEventListener("click", function (event) {
    if (event.target.closest("a")) setMenu(false);
  });
  // Whoever walks on with the Tab key has left the menu.
  document.getElementById("drawer").addEventListener("focusout", function (event) {
    if (drawer.checked && event.relatedTarget && !this.contains(event.relatedTarget)) setMenu(false);
  });

  // ---- header -----------------------------------------------------------------------------------------------------

  var title = document.querySelector("h1");
  if (title && window.IntersectionObserver) {
    new IntersectionObserver(function (entries) {
      var gone = !entries[0].isIntersecting && entries[0].boundingClientRect.top < 60;
      document.querySelector("[data-title]").classList.toggle("md-header__title--active", gone);
    }, {rootMargin: "-48px 0px 0px 0px"}).observe(title);
  }

  // ---- what folds -------------------------------------------------------------------------------------------------

  function unfold() {
    var wanted = location.hash.length > 1 && document.getElementById(decodeURIComponent(location.hash.slice(1)));
    for (var around = wanted && wanted.closest("details"); around; around = around.parentElement.closest("details")) {
      around.open = true;
    }
  }

  var folded = [];
  window.addEventListener("beforeprint", function () {
    folded = [].slice.call(document.querySelectorAll("details:not([open])"));
    folded.forEach(function (one) { one.open = true; });
  });
  window.addEventListener("afterprint", function () { folded.forEach(function (one) { one.open = false; }); });
  window.addEventListener("hashchange", unfold);
  unfold();

  // ---- what can wait ----------------------------------------------------------------------------------------------

  var asked = {};

  /*
   * Drawings and parts of the page that show only when something is opened lie in a file beside the page (`data-late`
   * and `data-late-part` name it) and are put into their places when the first of them comes into view. A script that
   * needs them asks `decoderWhole()`, a promise; `decoder:whole` says to the document that they have come.
   */
  var late = document.querySelectorAll("[data-late$='.js']");

  window.decoderLate = function (drawings, parts) {
    document.querySelectorAll("[data-late] > button > span:empty").forEach(function (place, number) {
      place.innerHTML = drawings[number];
    });
    Object.keys(parts).forEach(function (id) { document.getElementById(id).innerHTML = parts[id]; });
    document.dispatchEvent(new Event("decoder:whole"));
  };

  window.decoderWhole = function () {
    var part = document.querySelector("[data-late-part$='.js']") || late[0];
    return part ? load(part.dataset.late || part.dataset.latePart, false, location.href) : Promise.resolve();
  };

  function loadLate() {
    window.decoderWhole().catch(function () { /* the words are there */ });
  }

  if (late.length && window.IntersectionObserver) {
    var watcher = new IntersectionObserver(function (entries) {
      if (entries.some(function (entry) { return entry.isIntersecting; })) loadLate();
    });
    late.forEach(function (part) { watcher.observe(part); });
  }

  function load(name, isThere, beside) {
    if (!asked[name]) {
      asked[name] = new Promise(function (done, failed) {
        if (isThere) {
          done();
          return;
        }
        var script = document.createElement("script");
        script.src = new URL(name, beside || folder).href;
        script.onload = done;
        script.onerror = function () {
          delete asked[name];
          failed(new Error(name));
        };
        document.head.appendChild(script);
      });
    }
    return asked[name];
  }

  window.decoderLoad = load;

  function loadSearch() {
    return load("search.js", window.decoderFind);
  }

  var waited = false;
  function loadRest() {
    if (waited) return;
    waited = true;
    loadLate();
    loadSearch().catch(function () { /* asked for again when someone searches */ });
    if ("keep" in document.documentElement.dataset) {
      load("offline.js", window.decoderOffline).catch(function () { /* the next page tries again */ });
    }
  }

  document.addEventListener("decoder:answer", function () { setTimeout(loadRest, 1000); });
  function afterLoad() {
    setTimeout(loadRest, document.getElementById("identify") ? 6000 : 1500);
  }
  if (document.readyState === "complete") afterLoad();
  else window.addEventListener("load", afterLoad);

  // ---- search -----------------------------------------------------------------------------------------------------

  var typed = null;

  function openSearch(link) {
    var field = document.querySelector("[data-find] input");
    if (field) {
      field.focus();
      return;
    }
    // Whoever types on at once must not lose the first letters.
    typed = "";
    loadSearch().then(function () {
      window.decoderFind.open(typed);
      typed = null;
    }, function () { location.href = link.href; });
  }

  document.querySelectorAll("[data-find-open]").forEach(function (link) {
    link.addEventListener("click", function (event) {
      if (event.ctrlKey || event.metaKey || event.shiftKey || typeof HTMLDialogElement === "undefined") return;
      event.preventDefault();
      openSearch(link);
    });
  });
  document.addEventListener("keydown", function (event) {
    if (typed !== null && event.key.length === 1) {
      event.preventDefault();
      typed += event.key;
      return;
    }
    var inField = /^(INPUT|TEXTAREA|SELECT)$/.test(document.activeElement.tagName);
    if (event.key === "/" && !inField && !event.ctrlKey && !event.metaKey && !event.altKey) {
      event.preventDefault();
      openSearch(document.querySelector("[data-find-open]"));
    }
  });
})();
