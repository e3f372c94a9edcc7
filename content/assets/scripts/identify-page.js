/*
 * The identify page: keeps what was typed and tapped, asks decoderIdentify, and has the answer drawn.
 *
 * The page's HTML says which fields there are (data-field, data-choice) and which rows they stand in (data-question,
 * data-observes); this script binds them. Their state lives in the address, so a page can be shared and survives a
 * reload; only the vehicle is also remembered on the phone (localStorage, key `decoder.vehicle`).
 */
(function () {
  "use strict";

  var root = document.getElementById("identify");
  if (!root || !window.decoderIdentify || !window.decoderQuantities || !window.decoderIndex) return;

  var index = window.decoderIndex;
  var engine = window.decoderIdentify.load(index);
  var quantities = window.decoderQuantities;
  var make = window.decoderElements.make;
  var button = window.decoderElements.button;
  var keepsFocus = window.decoderElements.keepsFocus;
  var base = root.dataset.base;
  var reading = window.decoderReading.make(index, quantities, spannerNames());
  var touch = window.matchMedia("(pointer: coarse)").matches;

  var titles = {};
  all("#marks [data-title]").forEach(function (mark) { titles[mark.dataset.value] = mark.dataset.title; });

  var VEHICLE = "decoder.vehicle";
  var MEASURES = ["diameter", "minor_diameter", "across_flats", "head_height", "length"];
  var PLAIN = ["washer", "pin", "circlip", "rivet"];
  var ALOUD_AFTER_MS = 1200;
  var NEXT_AFTER_MS = 40;
  var WORTH_ASKING_BITS = 0.05;

  var state = readAddress();
  var seen = {};
  var said = [];
  var answer = null;
  var ranked = [];
  var leaves = [];
  var asked = {};
  var waiting = {next: 0, aloud: 0, address: 0};
  var written = [];

  var tub = window.decoderTub.open(titles);
  var view = window.decoderAnswerView.build(
    {index: index, quantities: quantities, base: base, slug: reading.slug},
    {go: go, cannot: cannot, again: function () { view.show(answer, context()); }}
  );
  var keypad = window.decoderKeypad.attach(root, {
    onward: onward,
    answer: toAnswer,
    quick: function (input) {
      return input.id === "pitch" ? leaves.map(function (leaf) { return {label: leaf, text: leaf}; }) : [];
    },
  });

  function one(selector) { return root.querySelector(selector); }
  function all(selector) { return Array.from(root.querySelectorAll(selector)); }
  function byId(id) { return document.getElementById(id); }

  /** Other names of spanners, squashed: {'5/16bs': '1/4w'}. */
  function spannerNames() {
    var found = {};
    (byId("spanner").dataset.also || "").split("|").filter(Boolean).forEach(function (pair) {
      found[pair.split("=")[0]] = pair.split("=")[1];
    });
    return found;
  }

  // ---- state and address ------------------------------------------------------------------------------------------

  function readAddress() {
    var kept = {};
    new URLSearchParams(location.hash.slice(1)).forEach(function (value, key) {
      if (value) kept[key] = value;
    });
    return kept;
  }

  /** What the page has no field or button for came from a typing slip or a newer version: it is said, and left out. */
  function dropUnknown() {
    var dropped = Object.keys(state).filter(function (key) {
      var group = one('[data-choice="' + key + '"]');
      if (group) return !group.querySelector('[data-value="' + CSS.escape(state[key]) + '"]');
      if (key === "head_marks" || key === "nut_marks") {
        return list(key).some(function (id) { return id !== "none" && !index.marks[id]; });
      }
      if (key === "trials") return trials().some(function (trial) { return index.threads.designation.indexOf(trial.with) < 0 || !trial.outcome; });
      if (key === "vehicle") return byId("vehicle") === null || !byId("vehicle").querySelector('[value="' + CSS.escape(state[key]) + '"]');
      return !one('[data-field="' + key + '"]') && ["numbers", "cannot", "q"].indexOf(key) < 0;
    });
    dropped.forEach(function (key) { delete state[key]; });
    byId("share-read").textContent = dropped.length ? "The address says something about " + dropped.join(", ") + " that this page does not know; it was left out." : "";
  }

  function keepAddress() {
    var query = new URLSearchParams();
    Object.keys(state).sort().forEach(function (key) {
      if (state[key] && key !== "q" && key !== "trial_with") query.set(key, state[key]);
    });
    clearTimeout(waiting.address);
    var now = Date.now();
    written = written.filter(function (time) { return now - time < 30000; });
    // Browsers refuse an address that changes too often.
    if (written.length >= 60) {
      waiting.address = setTimeout(keepAddress, 1000);
      return;
    }
    written.push(now);
    try {
      history.replaceState(null, "", location.pathname + (query.toString() ? "#" + query : ""));
    } catch (error) {
      // The page works without it; it only cannot be shared.
    }
  }

  function set(key, value) {
    if (value) state[key] = value;
    else delete state[key];
  }

  function list(key) { return state[key] ? state[key].split("|") : []; }

  function toggle(key, value, isOn) {
    set(key, list(key).filter(function (each) { return each !== value; }).concat(isOn ? [value] : []).join("|"));
  }

  function recall() {
    try {
      return localStorage.getItem(VEHICLE) || "";
    } catch (error) {
      return "";
    }
  }

  function remember(vehicle) {
    try {
      if (vehicle) localStorage.setItem(VEHICLE, vehicle);
      else localStorage.removeItem(VEHICLE);
    } catch (error) {
      // A phone that keeps nothing asks again.
    }
  }

  // ---- what kind of thing it is -----------------------------------------------------------------------------------

  function kind() { return index.kinds[state.kind] || null; }
  function isBored() { return Boolean(kind()) && kind().member === "internal"; }
  function isPlain() { return state.has_thread === "no" || PLAIN.indexOf(state.kind) >= 0; }
  function isNut() { return isBored() && kind().part === "nut"; }
  function marksKey() { return isBored() ? "nut_marks" : "head_marks"; }
  function marksGroup() { return state.kind === "stud" ? "stud" : isBored() ? "nut" : "head"; }

  /** Rows that make sense for what it is. */
  function isAsked(question) {
    if (question === "has_thread" || question === "kind") return true;
    if (isPlain()) return false;
    if (question === "diameter") return !isBored();
    if (question === "minor_diameter") return isBored();
    if (question === "nut_kind") return isNut();
    if (question === "marks" || question === "spanner" || question === "across_flats") return state.kind !== "tapped hole";
    if (question === "head") return !isBored() && state.kind !== "stud";
    if (question === "length") return !isBored();
    return true;
  }

  // ---- reading fields ---------------------------------------------------------------------------------------------

  /** Reads a field's text; says below it how it was understood, or in one sentence why not. */
  function read(key, reader, words) {
    var input = one('[data-field="' + key + '"]');
    var line = byId(input.id + "-read");
    var text = (state[key] || "").trim();
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
    ((error && error.choices) || []).forEach(function (choice) {
      line.appendChild(keepsFocus(button(choice, function () {
        set(key, choice);
        input.value = choice;
        input.focus();
        showState();
      }, "chip")));
    });
    input.setAttribute("aria-invalid", String(Boolean(error)));
    return value;
  }

  function lengthWords(value) {
    var tolerance = value.tolerance_mm === null ? "" : " ±" + quantities.formatMm(value.tolerance_mm);
    return "= " + quantities.formatLength(value.mm, value.system) + tolerance;
  }

  /** What is taken where nobody said: fractions are read off a rule, decimals off calipers. */
  function assumed(key) {
    if (key === "pitch_with") return "leaf";
    if (key === "over_with" || reading.isFraction(state[key.replace(/_with$/, "")])) return "rule";
    return "digital calipers";
  }

  function measure(key, reader) {
    var value = read(key, reader, lengthWords);
    return value && {
      seen: {mm: value.mm, tolerance_mm: value.tolerance_mm, instrument: state[key + "_with"] || assumed(key + "_with")},
      words: value.system === "inch" ? quantities.formatInch(value.mm) : quantities.formatMm(value.mm),
    };
  }

  /** Trials as the address keeps them: 'M8x1.25;binds;2', one after another. */
  function trials() {
    return list("trials").map(function (text) {
      var parts = text.split(";");
      return {with: parts[0], outcome: parts[1], turns: parts[2] ? Number(parts[2]) : null};
    });
  }

  function trialWords(trial) {
    var done = {"will not start": "would not start", "runs on": "ran right on", "wobbles": "ran on and wobbled"};
    if (trial.outcome !== "binds") return trial.with + " " + done[trial.outcome];
    return trial.with + " went tight" + (trial.turns ? " after " + trial.turns + (trial.turns === 1 ? " turn" : " turns") : "");
  }

  /** What the engine takes; see the head of identify.js. Also fills `said`, the same in words. */
  function observations() {
    var found = {};
    said = [];
    function put(question, key, value, words) {
      if (value === null || value === undefined || value === "" || (Array.isArray(value) && !value.length)) return;
      if (!isAsked(question)) return;
      if (key) found[key] = value;
      if (words) said.push({question: question, observes: key ? [key] : [], text: words});
    }
    function with_(key) {
      if (state[key + "_with"]) return ", " + state[key + "_with"];
      return /diameter/.test(key) && assumed(key + "_with") === "rule" ? ", taken as off a rule" : "";
    }
    if (state.has_thread) found.has_thread = state.has_thread === "yes";
    put("kind", "kind", state.kind, state.kind);
    put("nut_kind", "", state.nut_kind, pictureTitle("nut_kind"));
    function sized(question, key, reader, before, after) {
      var value = measure(key, reader);
      put(question, key, value && value.seen, value && before + value.words + after + with_(key));
    }
    sized("diameter", "diameter", reading.diameter, "", " across the thread");
    sized("minor_diameter", "minor_diameter", reading.diameter, "bore ", "");
    var pitch = read("pitch", reading.pitch, function (value) { return "= " + quantities.formatPitch(value.pitch_mm, value.threads_per_inch); });
    put("pitch", "pitch", pitch && {
      mm: pitch.pitch_mm, tolerance_mm: pitch.tolerance_mm, threads_per_inch: pitch.threads_per_inch, method: state.pitch_with || null,
    }, pitch && (pitch.threads_per_inch ? pitch.threads_per_inch + " tpi" : quantities.formatMm(pitch.pitch_mm)) +
      (state.pitch_with === "known bolt" ? ", against a known bolt" : ""));
    var threads = read("threads", reading.count, function () { return ""; });
    var over = read("over", reading.length, lengthWords);
    put("count", "count", threads && over && {
      threads: threads, over_mm: over.mm, tolerance_mm: over.tolerance_mm, counted: state.counted || null, instrument: state.over_with || null,
    }, threads + " " + (state.counted === "pitches" ? "gaps" : state.counted === "crests" ? "crests" : "threads") + " over " + state.over);
    trials().forEach(function (trial) { put("trials", "", trial, trialWords(trial)); });
    if (isAsked("trials") && trials().length) found.trials = trials();
    var marks = list(marksKey());
    put("marks", marksKey(), marks, marks.map(function (id) { return id === "none" ? "no mark" : titles[id]; }).join(", "));
    put("spanner", "spanner", read("spanner", reading.spanner, function (value) {
      return "= " + value.marking + ", jaw " + quantities.formatLength(value.jaw_mm);
    }), state.spanner + " spanner");
    sized("across_flats", "across_flats", reading.diameter, "", " across flats");
    put("head", "", state.head, pictureTitle("head") + " head");
    put("head", "drive", state.drive, "drive: " + state.drive);
    sized("head", "head_height", reading.diameter, "head ", " high");
    put("flank_angle", "flank_angle", state.flank_angle && {degrees: Number(state.flank_angle)}, state.flank_angle + "° flanks");
    put("flank_angle", "crest", state.crest, state.crest + " crests");
    ["condition", "finish", "material"].forEach(function (key) { put("condition", key, state[key], state[key]); });
    put("condition", "hand", state.hand, state.hand + " hand");
    sized("length", "length", reading.length, "", " long");
    put("vehicle", "vehicle", state.vehicle, "on " + vehicleTitle());
    put("vehicle", "assembly", state.vehicle && state.assembly, state.assembly);
    read("trial_with", reading.thread, function (designation) { return designation + ": now say what it did."; });
    return found;
  }

  function pictureTitle(key) {
    var chosen = state[key] && one('[data-choice="' + key + '"] [data-value="' + CSS.escape(state[key]) + '"]');
    return chosen ? chosen.lastChild.textContent.trim() : "";
  }

  function vehicleTitle() {
    var option = state.vehicle && byId("vehicle") && byId("vehicle").selectedOptions[0];
    return option ? option.textContent.trim() : state.vehicle;
  }

  // ---- the answer -------------------------------------------------------------------------------------------------

  function context() {
    var marks = isAsked("marks") ? list(marksKey()).filter(function (id) { return id !== "none"; }) : [];
    return {
      said: said, vehicle: vehiclePart(), vehicleTitle: vehicleTitle(), numbers: Boolean(state.numbers),
      marks: marks.map(function (id) { return {id: id, title: titles[id]}; }),
    };
  }

  function show() {
    seen = observations();
    showRows();
    var isEmpty = isPlain() || !Object.keys(seen).some(function (key) { return ["has_thread", "vehicle", "assembly"].indexOf(key) < 0; });
    byId("results").hidden = isEmpty;
    byId("unthreaded").hidden = !isPlain();
    byId("rest").hidden = isPlain();
    all("[data-plain]").forEach(function (part) {
      part.hidden = PLAIN.indexOf(state.kind) >= 0 && part.dataset.plain.split(" ").indexOf(state.kind) < 0;
    });
    answer = null;
    ranked = [];
    if (!isEmpty) decide();
    showStrip();
    speak();
  }

  function decide() {
    try {
      answer = engine.identify(seen, {next: false, vehicle: vehiclePart()});
    } catch (error) {
      view.refuse(error.message);
      return;
    }
    view.show(answer, context());
    showToTub();
    clearTimeout(waiting.next);
    // The answer first; what to measure next may take a moment longer.
    waiting.next = setTimeout(function () {
      rank();
      view.next(ranked, context());
    }, NEXT_AFTER_MS);
  }

  /** What to observe next, without what was given up. */
  function rank() {
    ranked = answer ? engine.next(seen, {vehicle: vehiclePart()}).filter(function (step) {
      return list("cannot").indexOf(step.observe) < 0 && step.bits > 0;
    }) : [];
  }

  function showStrip() {
    var isUseful = Boolean(answer) && view.isMeasured(answer);
    var text = answer ? view.short(answer) : "";
    byId("strip").hidden = !isUseful;
    byId("strip").textContent = text;
    keypad.line(isUseful ? text : "The answer stands here as you type");
  }

  /** One sentence for those who listen, once the typing has stopped. */
  function speak() {
    clearTimeout(waiting.aloud);
    waiting.aloud = setTimeout(function () {
      var focused = document.activeElement && byId(document.activeElement.id + "-read");
      var text = [focused && focused.classList.contains("refused") ? focused.textContent : "", answer && view.isMeasured(answer) ? answer.certainty.text : ""]
        .filter(Boolean).join(" ");
      if (text && byId("aloud").textContent !== text) byId("aloud").textContent = text;
    }, ALOUD_AFTER_MS);
  }

  function toAnswer() {
    byId("results").scrollIntoView({block: "start"});
  }

  /** The chosen vehicle's part; fetched by a script element, which also works from a folder or a stick. */
  function vehiclePart() {
    var slug = state.vehicle;
    var parts = window.decoderVehicles || {};
    if (!slug || parts[slug]) return parts[slug] || null;
    if (!asked[slug] && /^[a-z0-9-]+$/.test(slug)) {
      asked[slug] = true;
      var script = document.createElement("script");
      script.src = base + "vehicles/" + slug + "/identify.js";
      script.addEventListener("load", showState);
      script.addEventListener("error", function () { byId("share-read").textContent = "The list of this vehicle’s joints could not be loaded."; });
      document.head.appendChild(script);
    }
    return null;
  }

  // ---- into the tub -----------------------------------------------------------------------------------------------

  function kindWords() {
    if (isNut() && state.nut_kind) return state.nut_kind + " nut";
    if (isBored() || !state.head) return state.kind || "";
    return state.head + " " + (state.kind || "head");
  }

  function showToTub() {
    var place = byId("to-tub");
    place.textContent = "";
    place.hidden = !view.isMeasured(answer);
    if (place.hidden) return;
    var words = answer.certainty.words;
    var offered = words === "cannot tell" ? [] : answer.candidates.slice(0, words === "could be" ? 2 : 1);
    offered.forEach(function (candidate) {
      offerTub(place, "Put " + candidate.designation + " in the tub", candidate.designation, words === "almost certain" ? "" : answer.certainty.text);
    });
    if (!offered.length) offerTub(place, "Put it in the tub as not known", "not known", said.map(function (each) { return each.text; }).join("; "));
  }

  function offerTub(place, text, designation, note) {
    place.appendChild(button(text, function () {
      var done = tub.put({
        designation: designation, kind: kindWords(), length: isAsked("length") && state.length || "", marks: state[marksKey()] || "", quantity: 1, note: note,
      });
      var line = place.querySelector("p") || place.appendChild(make("p"));
      line.textContent = "In the tub: " + done.words + ". " + done.count + (done.count === 1 ? " piece" : " pieces") + " in all. ";
      line.appendChild(button("Next one: clear the page", clear, "chip"));
    }));
  }

  // ---- rows -------------------------------------------------------------------------------------------------------

  function row(question) { return one('[data-question="' + question + '"]'); }

  /** The row in which something is observed. */
  function rowOf(observed) {
    return all("[data-observes]").filter(function (each) {
      return each.dataset.observes.split(" ").indexOf(observed) >= 0 && isAsked(each.dataset.question);
    })[0] || null;
  }

  function isGiven(question) { return said.some(function (each) { return each.question === question; }) || (question === "has_thread" && Boolean(state.has_thread)); }
  function isGivenUp(question) { return list("cannot").indexOf(question) >= 0; }

  function showRows() {
    all("[data-question]").forEach(function (each) {
      var question = each.dataset.question;
      var line = each.querySelector(".line .said");
      var words = said.filter(function (one_) { return one_.question === question; }).map(function (one_) { return one_.text; });
      var gave = isGivenUp(question) && !words.length;
      each.hidden = !isAsked(question);
      each.classList.toggle("given", words.length > 0);
      each.classList.toggle("gave-up", gave);
      if (line) line.textContent = words.join("; ") || (gave ? "I cannot" : "");
    });
    one('[data-question="marks"] .line > span').textContent = isBored() ? "Mark on the nut" : state.kind === "stud" ? "Mark on the stud" : "Mark on the head";
    one('[data-question="trials"] .line > span').textContent = isBored() ? "Tried a known bolt in it" : "Tried a known nut on it";
    byId("length-hint").textContent = lengthHint();
    showNutKind();
    byId("tried").textContent = "";
    trials().forEach(function (trial, at) {
      var item = make("li", "", trialWords(trial) + " ");
      item.appendChild(button("Remove", function () {
        var kept = list("trials");
        kept.splice(at, 1);
        set("trials", kept.join("|"));
        showState();
      }, "chip", "Remove: " + trialWords(trial)));
      byId("tried").appendChild(item);
    });
  }

  function lengthHint() {
    var chosen = state.head && one('[data-choice="head"] [data-value="' + CSS.escape(state.head) + '"]');
    if (state.kind === "stud") return "Without the end that goes into the metal.";
    return chosen ? pictureTitle("head") + ": " + chosen.dataset.about + "." : "From under the head to the tip; over all where the head is countersunk.";
  }

  function showNutKind() {
    var place = byId("nut-kind-link");
    place.hidden = !isNut() || !state.nut_kind;
    place.textContent = "";
    if (!place.hidden) {
      place.appendChild(window.decoderElements.link(base + "nuts/" + state.nut_kind + "/", pictureTitle("nut_kind") + ": what locks it, may it go on again, where it never goes"));
    }
  }

  function panelOf(each) { return each.querySelector(".panel"); }

  function close(except) {
    all("[data-question]").forEach(function (each) {
      if (each === except || !panelOf(each)) return;
      panelOf(each).hidden = true;
      each.classList.remove("open");
      var line = each.querySelector("button.line");
      if (line) line.setAttribute("aria-expanded", "false");
    });
  }

  function unfold(each) {
    close(each);
    if (byId("rest").contains(each)) byId("rest").open = true;
    if (!panelOf(each)) return;
    panelOf(each).hidden = false;
    each.classList.add("open");
    var line = each.querySelector("button.line");
    if (line) line.setAttribute("aria-expanded", "true");
    if (each.dataset.question === "pitch") showLeaves();
    if (each.dataset.question === "trials") showKnown();
    if (each.dataset.question === "marks") showMarks();
  }

  /** Opens a question, brings it under the header and puts the finger or the cursor into it. */
  function ask(each) {
    if (!each) return;
    unfold(each);
    each.scrollIntoView({block: "start"});
    var first = each.querySelector("input[data-field], select, button.line, .choices button");
    if (first) first.focus({preventScroll: true});
  }

  function go(observed, given) {
    var each = rowOf(observed) || row(observed);
    if (each && each.dataset.question === "trials" && given) {
      set("trial_with", given);
      showState();
    }
    ask(each);
  }

  function cannot(observed) {
    toggle("cannot", observed, true);
    showState();
  }

  /** On to the next question: size and pitch first, then whatever would tell most, then the answer. */
  function onwardFrom(question) {
    var order = ["kind", isBored() ? "minor_diameter" : "diameter", "pitch"];
    var later = order.slice(order.indexOf(question) + 1).filter(function (each) {
      return isAsked(each) && !isGiven(each) && !isGivenUp(each);
    });
    close(null);
    if (order.indexOf(question) >= 0 && later.length) return ask(row(later[0]));
    rank();
    var best = ranked.filter(function (step) { return step.bits >= WORTH_ASKING_BITS && rowOf(step.observe) !== row(question); })[0];
    if (answer && view.isMeasured(answer) && (answer.certainty.words === "almost certain" || !best)) return arrive();
    if (best) return go(best.observe, best.with);
    if (isPlain()) return byId("unthreaded").scrollIntoView({block: "start"});
    return ask(row(later[0] || order[1]));
  }

  function arrive() {
    if (document.activeElement) document.activeElement.blur();
    toAnswer();
  }

  function onward(input) {
    if (input.id === "typed") {
      if (input.value.trim()) readTyped(input.value);
      input.blur();
      return;
    }
    var form = input.closest(".again");
    if (form) {
      form.requestSubmit();
      return;
    }
    if (input.id === "threads") {
      byId("over").focus();
      return;
    }
    if (input.id === "trial-with" || input.id === "marks-reads") {
      input.blur();
      return;
    }
    onwardFrom(input.closest("[data-question]").dataset.question);
  }

  // ---- what stands ready to tap -----------------------------------------------------------------------------------

  function pitchWords(candidate) {
    var tpi = index.threads.tpi[index.threads.designation.indexOf(candidate.designation.replace(/ LH$/, ""))];
    return tpi ? tpi + " tpi" : quantities.formatMm(candidate.pitch_mm);
  }

  /** Leaves worth trying, from everything that is known besides the pitch. */
  function showLeaves() {
    var others = Object.assign({}, seen);
    delete others.pitch;
    delete others.count;
    leaves = [];
    if (others.diameter || others.minor_diameter || others.trials) {
      engine.identify(others, {next: false, vehicle: vehiclePart()}).candidates.forEach(function (candidate) {
        var words = pitchWords(candidate);
        if (candidate.probability > 0.004 && leaves.length < 8 && leaves.indexOf(words) < 0) leaves.push(words);
      });
    }
    byId("leaves-label").hidden = !leaves.length;
    offer(byId("leaves"), leaves, state.pitch, function (leaf) {
      set("pitch", leaf);
      if (state.pitch_with !== "known bolt") set("pitch_with", "");
    });
    showStrip();
  }

  /** Threads that someone is likely to have tried, the one that would tell most first. */
  function showKnown() {
    var steps = ranked.filter(function (step) { return step.observe === "trials"; }).map(function (step) { return step.with; });
    var likely = answer && view.isMeasured(answer) ? answer.candidates.slice(0, 6).map(function (candidate) { return candidate.designation.replace(/ LH$/, ""); }) : [];
    var known = steps.concat(likely).filter(function (designation, at, every) { return every.indexOf(designation) === at; }).slice(0, 6);
    byId("trial-known-label").hidden = !known.length;
    offer(byId("trial-known"), known, state.trial_with, function (designation) { set("trial_with", designation); });
  }

  function offer(place, values, chosen, take) {
    place.textContent = "";
    values.forEach(function (value) {
      var made = keepsFocus(button(value, function () {
        take(value);
        showState();
        Array.from(place.children).forEach(function (other) { other.setAttribute("aria-pressed", String(other === made)); });
      }));
      made.setAttribute("aria-pressed", String(value === chosen));
      place.appendChild(made);
    });
  }

  byId("trial-outcomes").addEventListener("click", function (event) {
    var pressed = event.target.closest("button");
    if (!pressed) return;
    var known;
    try {
      if (!state.trial_with) throw new Error("First say which thread it has, such as M8x1.25 or 5/16-18 UNC.");
      known = reading.thread(state.trial_with);
    } catch (error) {
      var line = byId("trial-with-read");
      if (!line.textContent) line.textContent = error.message;
      line.classList.add("refused");
      byId("trial-with").focus();
      return;
    }
    set("trials", list("trials").concat([known, pressed.dataset.outcome, pressed.dataset.turns || ""].join(";")).join("|"));
    set("trial_with", "");
    showState();
    rank();
    showKnown();
  });

  // ---- marks ------------------------------------------------------------------------------------------------------

  var narrowed = {look: "", words: []};

  /** Only marks of this part that look as was said and bear the words that were typed. */
  function showMarks() {
    var isNarrow = Boolean(narrowed.look) || narrowed.words.length > 0;
    var chosen = list(marksKey());
    var found = [];
    byId("marks").hidden = !isNarrow && !chosen.length;
    all("#marks > button").forEach(function (mark) {
      var isOf = mark.dataset.group.split(" ").indexOf(marksGroup()) >= 0;
      var isLike = isNarrow && (!narrowed.look || mark.dataset.look === narrowed.look);
      var reads = narrowed.words.every(function (word) { return (" " + mark.dataset.words + " ").indexOf(word) >= 0; });
      var isChosen = chosen.indexOf(mark.dataset.value) >= 0;
      mark.hidden = !(isOf && ((isLike && reads) || isChosen));
      mark.setAttribute("aria-pressed", String(isChosen));
      if (isOf && isLike && reads) found.push(mark.dataset.value);
    });
    all("#looks > button").forEach(function (look) { look.setAttribute("aria-pressed", String(look.dataset.look === narrowed.look)); });
    var isRead = narrowed.look === "a number" || narrowed.look === "letters";
    all('[data-question="marks"] .narrow').forEach(function (part) { part.hidden = !isRead; });
    return found;
  }

  byId("looks").addEventListener("click", function (event) {
    var pressed = event.target.closest("button");
    if (!pressed) return;
    narrowed = {look: narrowed.look === pressed.dataset.look ? "" : pressed.dataset.look, words: []};
    byId("marks-reads").value = "";
    showMarks();
  });

  byId("marks-reads").addEventListener("input", function (event) {
    narrowed.words = event.target.value.toLowerCase().split(/\s+/).filter(Boolean);
    showMarks();
  });

  byId("marks").addEventListener("click", function (event) {
    var pressed = event.target.closest("button");
    if (!pressed) return;
    var value = pressed.dataset.value;
    var isOn = list(marksKey()).indexOf(value) < 0;
    // A head that is blank bears no other mark.
    if (isOn && (value === "none") !== (state[marksKey()] === "none")) set(marksKey(), "");
    toggle(marksKey(), value, isOn);
    showState();
    showMarks();
  });

  /** Marks by words: a single one is taken, of several the pictures are shown. */
  function findMarks(words, line) {
    narrowed = {look: "", words: window.decoderReading.markWords(words)};
    var each = row("marks");
    unfold(each);
    var found = showMarks();
    if (found.length === 1) {
      set(marksKey(), found[0]);
      showState();
      showMarks();
    }
    if (!found.length) {
      narrowed = {look: "", words: []};
      showMarks();
      line.appendChild(make("span", "", " No mark of the tables reads so: say what kind it is."));
    } else if (found.length > 1) {
      line.appendChild(make("span", "", " " + found.length + " marks are like that: tap the one you see."));
    }
    each.scrollIntoView({block: "center"});
  }

  // ---- one field for everything -----------------------------------------------------------------------------------

  function readTyped(text) {
    var line = byId("typed-read");
    var read;
    line.textContent = "";
    line.classList.remove("refused");
    try {
      read = reading.typed(text);
    } catch (error) {
      line.textContent = error.message + " ";
      line.classList.add("refused");
      (error.choices || []).forEach(function (choice) {
        line.appendChild(keepsFocus(button(choice, function () {
          byId("typed").value = choice;
          readTyped(choice);
        }, "chip")));
      });
      return;
    }
    if (!read.sure) {
      line.appendChild(make("p", "", "Which do you mean?"));
      read.offers.forEach(function (each) {
        line.appendChild(button(each.says, function () { take(each, [], line); }, "chip"));
      });
      return;
    }
    var measured = read.offers.filter(function (each) { return !each.threads; });
    take(measured[0] || read.offers[0], read.offers, line);
  }

  /** Puts an offer into the fields it speaks of, and says so, with what else it may have been. */
  function take(offered, others, line) {
    line.textContent = "";
    line.appendChild(make("p", "", "Read as " + offered.says + "."));
    Object.keys(offered.put || {}).forEach(function (key) { set(key, offered.put[key]); });
    if (offered.put && offered.put.kind) setKind(offered.put.kind);
    if (offered.grade) {
      line.appendChild(window.decoderElements.link(base + "strength/" + quantities.slug(offered.grade) + "/", "What " + offered.grade + " claims", "chip"));
    }
    others.forEach(function (other) {
      if (other === offered) return;
      if (other.threads) threadLinks(other, line);
      else line.appendChild(button("No: " + other.says, function () {
        Object.keys(offered.put || {}).forEach(function (key) { set(key, ""); });
        take(other, others, line);
      }, "chip"));
    });
    if (offered.threads) threadLinks(offered, line);
    showState();
    if (offered.marks) findMarks(offered.marks, line);
    else if (offered.put && answer && view.isMeasured(answer)) toAnswer();
  }

  /** A thread that is known by name: its page, and into the tub as it is. */
  function threadLinks(offered, line) {
    offered.threads.slice(0, 8).forEach(function (designation) {
      line.appendChild(window.decoderElements.link(base + "sizes/" + reading.slug(designation) + "/", "Page of " + designation, "chip"));
    });
    if (offered.threads.length !== 1) return;
    var designation = offered.threads[0];
    line.appendChild(button("I tried one on", function () {
      set("trial_with", designation);
      showState();
      ask(row("trials"));
    }, "chip"));
    line.appendChild(button("Put it in the tub", function (event) {
      var done = tub.put({designation: designation, kind: kindWords(), length: offered.length || "", marks: "", quantity: 1, note: "by its name, not measured"});
      event.target.textContent = "In the tub: " + done.words;
    }, "chip"));
  }

  // ---- fields -----------------------------------------------------------------------------------------------------

  function showState() {
    all("[data-field]").forEach(function (input) {
      if (input.id !== "assembly" && input.value !== (state[input.dataset.field] || "") && (document.activeElement !== input || input.tagName === "SELECT" || !state[input.dataset.field])) {
        input.value = state[input.dataset.field] || "";
      }
    });
    fillAssemblies();
    keepAddress();
    show();
    all("[data-choice]").forEach(function (group) {
      var key = group.dataset.choice;
      var chosen = list(key);
      var isAssumed = !chosen.length && /_with$/.test(key);
      if (isAssumed) chosen = [assumed(key)];
      group.querySelectorAll("button[data-value]").forEach(function (each) {
        var isOn = chosen.indexOf(each.dataset.value) >= 0;
        each.setAttribute("aria-pressed", String(isOn));
        each.classList.toggle("assumed", isOn && isAssumed);
      });
    });
    all('[data-choice="kind"] button').forEach(function (each) {
      var isOfPlain = PLAIN.indexOf(each.dataset.value) >= 0;
      each.hidden = state.has_thread === "yes" ? isOfPlain : state.has_thread === "no" && !isOfPlain;
    });
    all("[data-cannot]").forEach(function (each) { each.setAttribute("aria-pressed", String(isGivenUp(each.dataset.cannot))); });
    byId("numbers").setAttribute("aria-pressed", String(Boolean(state.numbers)));
  }

  function fillAssemblies() {
    if (!byId("assembly")) return;
    var part = vehiclePart();
    byId("assembly-line").hidden = !part;
    if (!part) return;
    var select = byId("assembly");
    if (select.dataset.vehicle !== part.vehicle) {
      select.dataset.vehicle = part.vehicle;
      select.textContent = "";
      select.appendChild(new Option("any", ""));
      part.joints.map(function (joint) { return joint.assembly; }).filter(function (slug, at, every) {
        return every.indexOf(slug) === at;
      }).forEach(function (slug) { select.appendChild(new Option(slug.replace(/-/g, " "), slug)); });
    }
    select.value = state.assembly || "";
  }

  /** A nut has no outside to measure: what was measured moves to where it belongs. */
  function setKind(value) {
    set("kind", value);
    if (value) set("has_thread", PLAIN.indexOf(value) >= 0 ? "no" : "yes");
    var from = isBored() ? "diameter" : "minor_diameter";
    var to = isBored() ? "minor_diameter" : "diameter";
    if (state[from] && !state[to]) {
      set(to, state[from]);
      set(to + "_with", state[from + "_with"]);
      set(from, "");
      set(from + "_with", "");
    }
    narrowed = {look: "", words: []};
  }

  function choose(key, value, group) {
    var was = state[key] || "";
    var next = was === value ? "" : value;
    if (key === "kind") setKind(next);
    else set(key, next);
    if (key === "has_thread") {
      toggle("cannot", "has_thread", false);
      if ((next === "no") !== (PLAIN.indexOf(state.kind) >= 0)) set("kind", "");
    }
    if (key === "nut_kind" && next) set("kind", one('[data-choice="nut_kind"] [data-value="' + next + '"]').dataset.about);
    if (/_with$/.test(key) && next) carry(key, next);
    showState();
    if (!next) return;
    if (key === "has_thread" && !state.kind) ask(row("kind"));
    else if (key === "kind" && group) onwardFromKind();
  }

  function onwardFromKind() {
    if (isPlain()) {
      close(null);
      byId("unthreaded").scrollIntoView({block: "start"});
    } else if (isGiven("diameter") || isGiven("minor_diameter")) {
      close(null);
    } else {
      onwardFrom("kind");
    }
  }

  /** Whoever has a rule in the hand keeps it in the hand: measures not yet made take the same instrument. */
  function carry(key, instrument) {
    if (key === "pitch_with" || key === "over_with") return;
    MEASURES.forEach(function (measured) {
      if (!state[measured] && !state[measured + "_with"]) set(measured + "_with", instrument);
    });
  }

  function clear() {
    var vehicle = state.vehicle;
    state = {};
    set("vehicle", vehicle);
    narrowed = {look: "", words: []};
    view.reset();
    close(null);
    ["typed", "marks-reads"].forEach(function (id) { byId(id).value = ""; });
    byId("typed-read").textContent = "";
    byId("aloud").textContent = "Cleared.";
    showState();
    window.scrollTo(0, 0);
    one('[data-choice="has_thread"] button').focus({preventScroll: true});
  }

  all("[data-field]").forEach(function (input) {
    input.addEventListener("input", function () {
      var key = input.dataset.field;
      set(key, input.value);
      if (input.value) toggle("cannot", key, false);
      if (key === "vehicle") {
        set("assembly", "");
        remember(input.value);
      }
      if (input.tagName === "SELECT") {
        showState();
        return;
      }
      keepAddress();
      show();
      showAssumed(key + "_with");
    });
  });

  /** A decimal is taken off calipers, a fraction off a rule: the button says so while one types. */
  function showAssumed(key) {
    var group = one('[data-choice="' + key + '"]');
    if (!group || state[key]) return;
    Array.from(group.children).forEach(function (each) {
      var isOn = each.dataset.value === assumed(key);
      each.setAttribute("aria-pressed", String(isOn));
      each.classList.toggle("assumed", isOn);
    });
  }

  root.addEventListener("click", function (event) {
    var pressed = event.target.closest("button");
    if (!pressed) return;
    if (pressed.dataset.cannot) {
      var question = pressed.dataset.cannot;
      var isOn = !isGivenUp(question);
      toggle("cannot", question, isOn);
      if (isOn) giveUp(question);
      showState();
      if (isOn) onwardFrom(question);
    } else if (pressed.dataset.onward) {
      onwardFrom(pressed.dataset.onward);
    } else if (pressed.classList.contains("line")) {
      var each = pressed.closest("[data-question]");
      if (each.classList.contains("open")) close(null);
      else unfold(each);
    } else if (pressed.dataset.value && pressed.parentNode.dataset.choice) {
      choose(pressed.parentNode.dataset.choice, pressed.dataset.value, true);
    }
  });

  /** 'I cannot' takes back what was said there. */
  function giveUp(question) {
    var each = row(question);
    each.dataset.observes.split(" ").concat(question).forEach(function (key) { set(key, ""); });
    if (question === "count") ["threads", "over", "counted"].forEach(function (key) { set(key, ""); });
    if (question === "has_thread") set("kind", "");
  }

  root.addEventListener("focusin", function (event) {
    var each = event.target.closest(".row");
    if (!each || !event.target.matches(".line > input")) return;
    if (each.classList.contains("open")) return;
    unfold(each);
    // The keypad takes the lower half of the screen.
    if (touch) each.scrollIntoView({block: "start"});
  });

  root.addEventListener("keydown", function (event) {
    if (event.key === "Enter" && event.target.matches("#sheet input")) {
      event.preventDefault();
      onward(event.target);
    } else if (event.key === "Escape" && event.target.closest(".row.open")) {
      close(null);
    }
  });

  root.addEventListener("submit", function (event) {
    if (event.target.id !== "look-up" && event.target.id !== "sheet") return;
    event.preventDefault();
    var typed = byId("typed");
    if (event.target.id === "look-up" && typed.value.trim()) readTyped(typed.value);
    keypad.hide();
  });

  byId("strip").addEventListener("click", toAnswer);
  byId("clear").addEventListener("click", clear);
  byId("numbers").addEventListener("click", function () {
    set("numbers", state.numbers ? "" : "1");
    showState();
  });

  if (navigator.share || navigator.clipboard) {
    byId("share").hidden = false;
    byId("share").addEventListener("click", function () {
      var line = byId("share-read");
      if (navigator.share) {
        navigator.share({title: document.title, url: location.href}).catch(function () { line.textContent = ""; });
        return;
      }
      navigator.clipboard.writeText(location.href).then(
        function () { line.textContent = "The address is copied; whoever opens it sees the same."; },
        function () { line.textContent = "The address could not be copied: take it from the address line."; }
      );
    });
  }

  // Where the answer itself is on the screen, the strip would only cover it.
  if (window.IntersectionObserver) {
    new IntersectionObserver(function (entries) {
      var last = entries[entries.length - 1];
      byId("strip").classList.toggle("away", last.isIntersecting);
      byId("strip").classList.toggle("above", last.boundingClientRect.top < 0);
    }, {rootMargin: "0px 0px -30% 0px"}).observe(byId("verdict"));
  }

  window.addEventListener("hashchange", function () {
    // A link within the page is no state.
    if (location.hash && location.hash.indexOf("=") < 0) return;
    state = readAddress();
    dropUnknown();
    showState();
  });

  // ---- start ------------------------------------------------------------------------------------------------------

  one(".needs-script").hidden = true;
  all(".work").forEach(function (part) { part.hidden = false; });
  var typed = new URLSearchParams(location.search).get("q");
  if (!state.vehicle && recall()) state.vehicle = recall();
  dropUnknown();
  showState();
  if (typed && !location.hash.slice(1).replace(/^vehicle=[^&]*$/, "")) {
    byId("typed").value = typed;
    readTyped(typed);
  }
})();
