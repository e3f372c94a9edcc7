/*
 * Turns what was said on the identify page into observations for decoderIdentify, and into words. Below each field it
 * says how it was read, or in one sentence why it was not.
 *
 *   decoderIdentifySeen.make({index, quantities, reading, state, titles: {mark id: title}, changed}) → seen
 *   seen.observe() → {observations, said}   said: [{question, observes: [key], text, isRefused}], in the order of the rows
 *       .kind() → the index's entry or null    .isBored()  it has its thread inside    .isNut()    .isPlain()  without a thread
 *       .isAsked(question)     whether the question makes sense for what it is
 *       .marksKey()  .marksGroup()    .trials()  .trialWords(trial)
 *       .assumed(key)          what is taken for an instrument that nobody named
 *       .pictureTitle(key)     .vehicleTitle()
 */
(function () {
  "use strict";

  /** Kinds without a thread that runs in a nut. */
  var PLAIN = ["washer", "pin", "circlip", "rivet"];

  /** Kinds that cut a thread of their own: neither a gauge nor a nut says anything of them. */
  var OWN_THREAD = ["self-tapping screw", "wood screw"];
  var OF_OWN_THREAD = ["diameter", "head", "length", "condition"];

  var DID = {"will not start": "would not start", "runs on": "ran right on", "wobbles": "ran on and wobbled"};
  var COUNTED = {pitches: "gaps", crests: "crests"};

  var elements = window.decoderElements;

  function make(about) {
    var index = about.index;
    var quantities = about.quantities;
    var reading = about.reading;
    var state = about.state;
    var values = state.values;
    var said = [];
    var found = {};

    // ---- what kind of thing it is ---------------------------------------------------------------------------------

    function kind() { return index.kinds[values.kind] || null; }
    function isBored() { return Boolean(kind()) && kind().member === "internal"; }
    function isPlain() { return values.has_thread === "no" || PLAIN.indexOf(values.kind) >= 0; }
    function isNut() { return isBored() && kind().part === "nut"; }
    function marksKey() { return isBored() ? "nut_marks" : "head_marks"; }
    function marksGroup() { return values.kind === "stud" ? "stud" : isBored() ? "nut" : "head"; }

    function isAsked(question) {
      if (question === "has_thread" || question === "kind") return true;
      if (isPlain()) return false;
      if (OWN_THREAD.indexOf(values.kind) >= 0) return OF_OWN_THREAD.indexOf(question) >= 0;
      if (question === "diameter" || question === "length") return !isBored();
      if (question === "minor_diameter") return isBored();
      if (question === "nut_kind") return isNut();
      if (question === "head") return !isBored() && values.kind !== "stud";
      if (["marks", "spanner", "across_flats"].indexOf(question) >= 0) return values.kind !== "tapped hole";
      return true;
    }

    // ---- fields ---------------------------------------------------------------------------------------------------

    function read(key, reader, words) {
      var input = document.querySelector('#identify [data-field="' + key + '"]');
      var line = document.getElementById(input.id + "-read");
      var text = (values[key] || "").trim();
      var value = null;
      var error = null;
      if (text) {
        try {
          value = reader(text);
        } catch (refused) {
          error = refused;
        }
      }
      line.textContent = error ? error.message + " " : value !== null ? words(value) : "";
      line.classList.toggle("refused", Boolean(error));
      input.setAttribute("aria-invalid", String(Boolean(error)));
      if (error) refuse(input, line, text, error.choices || []);
      return value;
    }

    /** What could not be read is no part of the answer, and says so beside it. */
    function refuse(input, line, text, choices) {
      var question = input.closest("[data-question]").dataset.question;
      if (isAsked(question)) said.push({question: question, observes: [], text: "‘" + text + "’ not read", isRefused: true});
      choices.forEach(function (choice) {
        line.appendChild(elements.keepsFocus(elements.button(choice, function () {
          state.set(input.dataset.field, choice);
          input.value = choice;
          input.focus();
          about.changed();
        }, "chip")));
      });
    }

    function lengthWords(value) {
      var tolerance = value.tolerance_mm === null ? "" : " ±" + quantities.formatMm(value.tolerance_mm);
      return "= " + quantities.formatLength(value.mm, value.system) + tolerance;
    }

    /** Fractions are read off a rule, decimals off calipers. */
    function assumed(key) {
      if (key === "pitch_with") return "leaf";
      if (key === "diameter_with" && isNamed("diameter")) return "name";
      if (key === "over_with" || reading.isFraction(values[key.replace(/_with$/, "")])) return "rule";
      return "digital calipers";
    }

    /** 3/8 with 20 threads to the inch is a size by its name, whatever it measures; a fraction alone is read off a rule. */
    function isNamed(key) {
      if (key !== "diameter" || values.diameter_with || !reading.isFraction(values.diameter) || !values.pitch) return false;
      try {
        return Boolean(reading.pitch(values.pitch).threads_per_inch);
      } catch (error) {
        return false;
      }
    }

    function withWords(key) {
      if (isNamed(key) || values[key + "_with"] === "name") return ", taken as its name";
      if (values[key + "_with"]) return ", " + values[key + "_with"];
      return /diameter/.test(key) && assumed(key + "_with") === "rule" ? ", taken as off a rule" : "";
    }

    // ---- observations ---------------------------------------------------------------------------------------------

    function put(question, key, value, words) {
      if (value === null || value === undefined || value === "" || value.length === 0 || !isAsked(question)) return;
      if (key) found[key] = value;
      said.push({question: question, observes: key ? [key] : [], text: words, isRefused: false});
    }

    function putLength(question, key, reader, before, after) {
      var value = read(key, reader, lengthWords);
      if (!value) return;
      var words = value.system === "inch" ? quantities.formatInch(value.mm) : quantities.formatMm(value.mm);
      put(question, key, {
        mm: value.mm, tolerance_mm: value.tolerance_mm, instrument: values[key + "_with"] || assumed(key + "_with"),
      }, before + words + after + withWords(key));
    }

    function putPitch() {
      var pitch = read("pitch", reading.pitch, function (value) { return "= " + quantities.formatPitch(value.pitch_mm, value.threads_per_inch); });
      if (!pitch) return;
      put("pitch", "pitch", {
        mm: pitch.pitch_mm, tolerance_mm: pitch.tolerance_mm, threads_per_inch: pitch.threads_per_inch, method: values.pitch_with || null,
      }, (pitch.threads_per_inch ? pitch.threads_per_inch + " tpi" : quantities.formatMm(pitch.pitch_mm)) +
        (values.pitch_with === "known bolt" ? ", against a known bolt" : ""));
    }

    function putCount() {
      var threads = read("threads", reading.count, function () { return ""; });
      var over = read("over", reading.length, lengthWords);
      if (!threads || !over) return;
      put("count", "count", {
        threads: threads, over_mm: over.mm, tolerance_mm: over.tolerance_mm, counted: values.counted || null, instrument: values.over_with || null,
      }, threads + " " + (COUNTED[values.counted] || "threads") + " over " + values.over);
    }

    /** Trials as the address keeps them: 'M8x1.25;binds;2', one after another. */
    function trials() {
      return state.list("trials").map(function (text) {
        var parts = text.split(";");
        return {with: parts[0], outcome: parts[1], turns: parts[2] ? Number(parts[2]) : null};
      });
    }

    function trialWords(trial) {
      if (trial.outcome !== "binds") return trial.with + " " + DID[trial.outcome];
      return trial.with + " went tight" + (trial.turns ? " after " + trial.turns + (trial.turns === 1 ? " turn" : " turns") : "");
    }

    function putTrials() {
      read("trial_with", reading.thread, function (designation) { return designation + ": now say what it did."; });
      put("trials", "trials", trials(), trials().map(trialWords).join("; "));
    }

    function putMarks() {
      var marks = state.list(marksKey());
      put("marks", marksKey(), marks, marks.map(function (id) { return id === "none" ? "no mark" : about.titles[id]; }).join(", "));
    }

    function putSpanner() {
      var spanner = read("spanner", reading.spanner, function (value) {
        return "= " + value.marking + ", jaw " + quantities.formatLength(value.jaw_mm);
      });
      put("spanner", "spanner", spanner, values.spanner + " spanner");
    }

    function observe() {
      said = [];
      found = {};
      if (values.has_thread) found.has_thread = values.has_thread === "yes";
      put("kind", "kind", values.kind, values.kind);
      put("nut_kind", "nut_top", values.nut_kind, pictureTitle("nut_kind"));
      putLength("diameter", "diameter", reading.diameter, "", " across the thread");
      putLength("minor_diameter", "minor_diameter", reading.diameter, "bore ", "");
      putPitch();
      putCount();
      putTrials();
      putMarks();
      putSpanner();
      putLength("across_flats", "across_flats", reading.diameter, "", " across flats");
      put("head", "head", values.head, pictureTitle("head") + " head");
      put("head", "drive", values.drive, "drive: " + values.drive);
      putLength("head", "head_height", reading.diameter, "head ", " high");
      put("flank_angle", "flank_angle", values.flank_angle && {degrees: Number(values.flank_angle)}, values.flank_angle + "° flanks");
      put("flank_angle", "crest", values.crest, values.crest + " crests");
      ["condition", "finish", "material"].forEach(function (key) { put("condition", key, values[key], values[key]); });
      put("condition", "hand", values.hand, values.hand + " hand");
      putLength("length", "length", reading.length, "", " long");
      put("vehicle", "vehicle", values.vehicle, "on " + vehicleTitle());
      put("vehicle", "assembly", values.vehicle && values.assembly, values.assembly);
      return {observations: found, said: said};
    }

    // ---- words ----------------------------------------------------------------------------------------------------

    function pictureTitle(key) {
      var chosen = values[key] && document.querySelector('[data-choice="' + key + '"] [data-value="' + CSS.escape(values[key]) + '"]');
      return chosen ? chosen.lastChild.textContent.trim() : "";
    }

    function vehicleTitle() {
      var select = document.getElementById("vehicle");
      var option = values.vehicle && select && select.selectedOptions[0];
      return option ? option.textContent.trim() : values.vehicle;
    }

    return {
      observe: observe, kind: kind, isBored: isBored, isNut: isNut, isPlain: isPlain, isAsked: isAsked, marksKey: marksKey,
      marksGroup: marksGroup, trials: trials, trialWords: trialWords, assumed: assumed, pictureTitle: pictureTitle,
      vehicleTitle: vehicleTitle,
    };
  }

  window.decoderIdentifySeen = {make: make, PLAIN: PLAIN};
})();
