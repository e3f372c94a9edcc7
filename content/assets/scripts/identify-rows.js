/*
 * The rows of the identify page: one question each, with a panel that opens below it; one is open at a time.
 *
 *   decoderIdentifyRows.make(root, {state, seen, base, changed, opened}) → rows
 *     opened(question)   a row's panel was opened and may want filling
 *   rows.show(said)                 what was said in each row, and which rows are asked
 *       .get(question) → row        .of(observed) → the row in which something is observed, or null
 *       .isGiven(question)  .isGivenUp(question)
 *       .unfold(row)  .ask(row)  .close()       `ask` also brings it under the header, with the focus in it
 */
(function () {
  "use strict";

  var elements = window.decoderElements;

  function make(root, about) {
    var state = about.state;
    var seen = about.seen;
    var values = state.values;
    var said = [];

    function all(selector) { return Array.from(root.querySelectorAll(selector)); }
    function byId(id) { return document.getElementById(id); }

    function get(question) { return root.querySelector('[data-question="' + question + '"]'); }

    function of(observed) {
      return all("[data-observes]").filter(function (row) {
        return row.dataset.observes.split(" ").indexOf(observed) >= 0 && seen.isAsked(row.dataset.question);
      })[0] || null;
    }

    function isGiven(question) { return said.some(function (each) { return each.question === question && !each.isRefused; }); }
    function isGivenUp(question) { return state.list("cannot").indexOf(question) >= 0; }

    // ---- what they say --------------------------------------------------------------------------------------------

    function name(question, words) { get(question).querySelector(".line > span").textContent = words; }

    function show(answered) {
      said = answered;
      all("[data-question]").forEach(function (row) {
        var question = row.dataset.question;
        var line = row.querySelector(".line .said");
        var words = said.filter(function (each) { return each.question === question; }).map(function (each) { return each.text; });
        row.hidden = !seen.isAsked(question);
        row.classList.toggle("given", isGiven(question));
        row.classList.toggle("gave-up", isGivenUp(question));
        if (line) line.textContent = words.join("; ") || (isGivenUp(question) ? "I cannot" : "");
      });
      name("marks", seen.isBored() ? "Mark on the nut" : values.kind === "stud" ? "Mark on the stud" : "Mark on the head");
      name("trials", seen.isBored() ? "Tried a known bolt in it" : "Tried a known nut on it");
      byId("length-hint").textContent = lengthHint();
      showNutKind();
      showTried();
    }

    /** The trade measures each kind in its own way. */
    function lengthHint() {
      var chosen = values.head && root.querySelector('[data-choice="head"] [data-value="' + CSS.escape(values.head) + '"]');
      if (values.kind === "stud") return "Without the end that goes into the metal.";
      if (!chosen) return "From under the head to the tip; over all where the head is countersunk.";
      return seen.pictureTitle("head") + ": " + chosen.dataset.about + ".";
    }

    function showNutKind() {
      var place = byId("nut-kind-link");
      var isHead = seen.isAsked("head") && Boolean(values.head);
      place.hidden = !isHead && (!seen.isNut() || !values.nut_kind);
      place.textContent = "";
      if (place.hidden) return;
      if (isHead) {
        place.appendChild(elements.link(about.base + "heads-and-drives/" + values.head + "/",
          seen.pictureTitle("head") + " head: where it is met, how its length is measured"));
        return;
      }
      place.appendChild(elements.link(about.base + "nuts/" + values.nut_kind + "/",
        seen.pictureTitle("nut_kind") + ": what locks it, may it go on again, where it never goes"));
      if (values.vehicle) {
        place.appendChild(document.createTextNode(" "));
        place.appendChild(elements.link(about.base + "vehicles/" + values.vehicle + "/kinds/#nut-list",
          "Nuts by kind on " + seen.vehicleTitle() + ", each with its joints"));
      }
    }

    function showTried() {
      var place = byId("tried");
      place.textContent = "";
      seen.trials().forEach(function (trial, at) {
        var words = seen.trialWords(trial);
        var item = elements.make("li", "", words + " ");
        item.appendChild(elements.button("Remove", function () {
          var kept = state.list("trials");
          kept.splice(at, 1);
          state.set("trials", kept.join("|"));
          about.changed();
        }, "chip", "Remove: " + words));
        place.appendChild(item);
      });
    }

    // ---- open and closed ------------------------------------------------------------------------------------------

    function panel(row) { return row.querySelector(".panel"); }

    function fold(row, isOpen) {
      if (!panel(row)) return;
      panel(row).hidden = !isOpen;
      row.classList.toggle("open", isOpen);
      var line = row.querySelector("button.line");
      if (line) line.setAttribute("aria-expanded", String(isOpen));
    }

    function close() { all(".row.open").forEach(function (row) { fold(row, false); }); }

    function unfold(row) {
      all(".row.open").forEach(function (other) { if (other !== row) fold(other, false); });
      if (byId("rest").contains(row)) byId("rest").open = true;
      fold(row, true);
      about.opened(row.dataset.question);
    }

    function ask(row) {
      if (!row) return;
      unfold(row);
      row.scrollIntoView({block: "start"});
      var first = row.querySelector("input[data-field], select, button.line, .choices button");
      if (first) first.focus({preventScroll: true});
    }

    return {show: show, get: get, of: of, isGiven: isGiven, isGivenUp: isGivenUp, close: close, unfold: unfold, ask: ask};
  }

  window.decoderIdentifyRows = {make: make};
})();
