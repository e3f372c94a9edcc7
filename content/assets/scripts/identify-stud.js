/*
 * The two ends of a stud: keeps what the first one is while the second is measured, so that both go into the tub as one.
 * Kept in the address as `first_end`: designation, how sure, and what was read, with `|` between them.
 *
 *   decoderIdentifyStud.make({state, threads: [designation], changed, forget, ask}) → stud
 *     changed()   draw the page anew     forget()   what else belongs to one end     ask()   go to the first measure
 *   stud.first() → {designation, words, read} or null where no end is kept, or what it is is no stud
 *       .isSound()         whether what the address says of the first end can be read
 *       .show(answer, said, isMeasured)   the line of the first end, and the button that keeps one
 *       .joined(designation) → 'first end / this end'     .note(text) → the same of how sure both are
 */
(function () {
  "use strict";

  var UNKNOWN = "not known";

  /** What is measured of one end; the rest is of the whole stud. */
  var OF_ONE_END = [
    "diameter", "pitch", "pitch_with", "threads", "over", "counted", "trials", "trial_with", "flank_angle", "crest", "hand",
  ];
  var QUESTIONS = ["diameter", "pitch", "count", "trials", "flank_angle"];

  var elements = window.decoderElements;

  function make(about) {
    var state = about.state;
    var values = state.values;
    var place = document.getElementById("stud-ends");

    function kept() {
      var parts = (values.first_end || "").split("|");
      return parts[0] ? {designation: parts[0], words: parts[1] || "", read: parts[2] || ""} : null;
    }

    function first() { return values.kind === "stud" ? kept() : null; }

    function isSound() {
      var end = kept();
      return !end || end.designation === UNKNOWN || end.designation.split(" or ").every(function (each) {
        return about.threads.indexOf(each.replace(/ LH$/, "")) >= 0;
      });
    }

    /** A bar would part what is kept. */
    function told(said) {
      return said.filter(function (each) { return QUESTIONS.indexOf(each.question) >= 0 && !each.isRefused; })
        .map(function (each) { return each.text.replace(/\|/g, "/"); }).join(", ");
    }

    function keep(answer, said) {
      var words = answer.certainty.words;
      var most = words === "could be" ? 2 : 1;
      var best = words === "cannot tell" || !answer.candidates.length ? UNKNOWN
        : answer.candidates.slice(0, most).map(function (each) { return each.designation; }).join(" or ");
      state.set("first_end", [best, words, told(said)].join("|"));
      OF_ONE_END.forEach(function (key) { state.set(key, ""); });
      QUESTIONS.forEach(function (question) { state.toggle("cannot", question, false); });
      about.forget();
      about.changed();
      about.ask();
    }

    function show(answer, said, isMeasured) {
      var end = first();
      place.textContent = "";
      place.hidden = values.kind !== "stud" || !(end || isMeasured);
      if (place.hidden) return;
      if (end) {
        var line = place.appendChild(elements.make("p"));
        line.appendChild(elements.make("strong", "", "First end: " + end.designation));
        line.appendChild(document.createTextNode((end.words && end.words !== "could be" && end.designation !== UNKNOWN ? ", " + end.words : "") +
          (end.read ? " (" + end.read + ")" : "") + "."));
        place.appendChild(elements.make("p", "", isMeasured && answer.candidates.length
          ? "Other end: " + answer.certainty.text : "Now measure the other end."));
        place.appendChild(elements.button("Forget the first end", function () {
          state.set("first_end", "");
          about.changed();
        }, "chip"));
        return;
      }
      place.appendChild(elements.button("Keep this end, measure the other one", function () { keep(answer, said); }));
    }

    return {
      first: first, isSound: isSound, show: show,
      joined: function (designation) { return first() ? first().designation + " / " + designation : designation; },
      note: function (text) { return first() ? "first end " + (first().words || UNKNOWN) + (first().read ? ", " + first().read : "") + (text ? "; other end: " + text : "") : text; },
    };
  }

  window.decoderIdentifyStud = {make: make};
})();
