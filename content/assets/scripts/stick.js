/*
 * Only in the variant for a stick, where pages are opened as files: a link that a script makes to a folder is led to the
 * file in it, just before it is followed. Links that stand in the page name their file already.
 */
(function () {
  "use strict";

  function nameFile(event) {
    var link = event.target.closest && event.target.closest("a[href]");
    if (!link || link.protocol !== "file:" || !/\/$/.test(link.pathname)) return;
    link.pathname += "index.html";
  }

  ["pointerdown", "focusin", "click", "auxclick"].forEach(function (kind) {
    document.addEventListener(kind, nameFile, true);
  });
})();
