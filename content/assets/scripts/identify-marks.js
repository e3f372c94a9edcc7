/*
 * The marks of the identify page: first how a mark looks, then its picture; or by words.
 *
 *   decoderIdentifyMarks.make(state, does) → marks
 *     does  .key() → 'head_marks' or 'nut_marks'     .group() → 'head', 'nut' or 'stud'     .changed()   draw the page anew
 *   marks.show()              shows what is narrowed to, and what is chosen
 *        .find(words) → [id]  narrows to the marks that bear all these words
 *        .only(ids) → [id]    narrows to those of these marks that stand on such a part
 *        .choose(id)          .reset()
 */
(function () {
  "use strict";

  function make(state, does) {
    var look = "";
    var words = [];
    var wanted = null;

    function all(selector) { return Array.from(document.querySelectorAll(selector)); }
    function byId(id) { return document.getElementById(id); }

    /** Short words are whole ones: 'r' is no part of 'three'. */
    function bears(mark, word) {
      var text = " " + mark.dataset.words + " ";
      return text.indexOf(word.length > 2 ? word : " " + word + " ") >= 0;
    }

    function isOfPart(mark) { return mark.dataset.group.split(" ").indexOf(does.group()) >= 0; }

    function isFound(mark) {
      if (wanted) return isOfPart(mark) && wanted.indexOf(mark.dataset.value) >= 0;
      if (!look && !words.length) return false;
      return isOfPart(mark) && (!look || mark.dataset.look === look) && words.every(function (word) { return bears(mark, word); });
    }

    function show() {
      var chosen = state.list(does.key());
      byId("marks").hidden = !look && !words.length && !wanted && !chosen.length;
      all("#marks > button").forEach(function (mark) {
        var isChosen = chosen.indexOf(mark.dataset.value) >= 0;
        // Looking for words shows what bears them and nothing else, so that there are as many as the page says.
        mark.hidden = !isFound(mark) && (words.length > 0 || Boolean(wanted) || !(isChosen && isOfPart(mark)));
        mark.setAttribute("aria-pressed", String(isChosen));
      });
      all("#looks > button").forEach(function (each) { each.setAttribute("aria-pressed", String(each.dataset.look === look)); });
      var isRead = /number|letter/.test(look);
      all('[data-question="marks"] .narrow').forEach(function (part) { part.hidden = !isRead; });
    }

    function reset() {
      look = "";
      words = [];
      wanted = null;
      byId("marks-reads").value = "";
    }

    function shown() {
      show();
      return all("#marks > button").filter(isFound).map(function (mark) { return mark.dataset.value; });
    }

    function only(ids) {
      reset();
      wanted = ids;
      return shown();
    }

    function find(typed) {
      reset();
      words = window.decoderReading.markWords(typed);
      return shown();
    }

    function choose(id) {
      var key = does.key();
      var isOn = state.list(key).indexOf(id) < 0;
      // A head that is blank bears no other mark.
      if (isOn && (id === "none") !== (state.values[key] === "none")) state.set(key, "");
      state.toggle(key, id, isOn);
      does.changed();
      show();
    }

    byId("looks").addEventListener("click", function (event) {
      var pressed = event.target.closest("button");
      if (!pressed) return;
      var was = look;
      reset();
      look = was === pressed.dataset.look ? "" : pressed.dataset.look;
      show();
    });

    byId("marks-reads").addEventListener("input", function (event) {
      wanted = null;
      words = event.target.value.toLowerCase().split(/\s+/).filter(Boolean);
      show();
    });

    byId("marks").addEventListener("click", function (event) {
      var pressed = event.target.closest("button");
      if (pressed) choose(pressed.dataset.value);
    });

    return {show: show, find: find, only: only, choose: choose, reset: reset};
  }

  window.decoderIdentifyMarks = {make: make};
})();
