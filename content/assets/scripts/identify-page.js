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
  Object.keys(index.marks).forEach(function (id) { titles[id] = index.marks[id].title; });

  var MEASURES = ["diameter", "minor_diameter", "across_flats", "head_height", "length"];
  var PLAIN = window.decoderIdentifySeen.PLAIN;
  var ALOUD_AFTER_MS = 1200;
  var NEXT_AFTER_MS = 40;
  var WORTH_ASKING_BITS = 0.05;

  var state = window.decoderIdentifyState.make();
  var values = state.values;
  var seen = window.decoderIdentifySeen.make({
    index: index, quantities: quantities, reading: reading, state: state, titles: titles, changed: function () { showState(); },
  });
  var marks = window.decoderIdentifyMarks.make(state, {
    key: seen.marksKey, group: seen.marksGroup, changed: function () { showState(); },
  });
  var rows = window.decoderIdentifyRows.make(root, {
    state: state, seen: seen, base: base, changed: function () { showState(); },
    opened: function (question) {
      if (question === "pitch") showLeaves();
      if (question === "trials") showKnown();
      if (question === "marks") whole().then(marks.show);
    },
  });
  var stud = window.decoderIdentifyStud.make({
    state: state, threads: index.threads.designation, changed: function () { showState(); },
    forget: function () { byId("typed").value = ""; byId("typed-read").textContent = ""; },
    ask: function () { rows.ask(rows.get("diameter")); },
  });
  var observations = {};
  var said = [];
  var answer = null;
  var ranked = [];
  var leaves = [];
  var asked = {};
  var waiting = {next: 0, aloud: 0};

  var tub = null;
  var view = window.decoderAnswerView.build(
    {index: index, quantities: quantities, base: base, slug: reading.slug},
    {go: go, cannot: cannot, again: function () { view.show(answer, context()); }}
  );
  var typing = window.decoderIdentifyTyped.make({
    state: state, seen: seen, reading: reading, quantities: quantities, marks: marks, rows: rows, putInTub: putInTub, base: base,
    setKind: setKind, kindWords: kindWords, whole: whole, changed: function () { showState(); },
    spanner: spannerOf,
    warning: function (code) { return index.texts.warnings[code]; },
    whereOn: function (designation) {
      return vehiclePart() ? view.whereOn(context(), {designation: designation, joints: []}) : null;
    },
    arrive: function () { if (answer && view.isMeasured(answer)) toAnswer(); },
  });
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

  // ---- what comes late --------------------------------------------------------------------------------------------

  /** The pictures of marks, the kinds of joint and what has no thread; the page goes on without them where they are lost. */
  function whole() { return window.decoderWhole().catch(function () { /* asked for again */ }); }

  function teller() { return window.decoderLoad("identify-told.js", window.decoderTold); }

  /** What stands in the one field needs the script that knows words. */
  function readTyped(text) {
    teller().then(function () { typing.read(text); }, function () {
      byId("typed-read").textContent = "What reads this could not be fetched. Try again with a network, or say below what you measured.";
    });
  }

  byId("typed").addEventListener("focus", function () { teller().catch(function () { /* asked for again when it is read */ }); });

  // ---- address ----------------------------------------------------------------------------------------------------

  function isKnown(key) {
    var group = one('[data-choice="' + key + '"]');
    if (group) return Boolean(group.querySelector('[data-value="' + CSS.escape(values[key]) + '"]'));
    if (key === "head_marks" || key === "nut_marks") {
      return state.list(key).every(function (id) { return id === "none" || index.marks[id]; });
    }
    if (key === "trials") {
      return seen.trials().every(function (trial) {
        return index.threads.designation.indexOf(trial.with) >= 0 && one('#trial-outcomes [data-outcome="' + CSS.escape(trial.outcome || "") + '"]');
      });
    }
    if (key === "vehicle") return Boolean(byId("vehicle") && byId("vehicle").querySelector('[value="' + CSS.escape(values[key]) + '"]'));
    if (key === "first_end") return stud.isSound();
    return key === "numbers" || key === "cannot" || Boolean(one('[data-field="' + key + '"]'));
  }

  /** What the page has no field or button for came from a typing slip or a newer version: it is said, and left out. */
  function readAddress() {
    state.readAddress();
    var dropped = Object.keys(values).filter(function (key) { return !isKnown(key); });
    dropped.forEach(function (key) { state.set(key, ""); });
    byId("share-read").textContent = dropped.length
      ? "The address says something about " + dropped.join(", ") + " that this page does not know; it was left out." : "";
  }

  // ---- the answer -------------------------------------------------------------------------------------------------

  /** The index's row of a spanner as typed, or null. */
  function spannerOf(text) {
    try {
      var marking = reading.spanner(text).marking;
      var row = index.spanners.filter(function (each) { return each[0] === marking; })[0];
      return {marking: marking, slug: row[1]};
    } catch (error) {
      return null;
    }
  }

  function context() {
    var ids = seen.isAsked("marks") ? state.list(seen.marksKey()).filter(function (id) { return id !== "none"; }) : [];
    return {
      said: said, kind: values.kind, spanner: observations.spanner && !observations.diameter && !observations.pitch ? spannerOf(values.spanner) : null, vehicle: vehiclePart(), vehicleTitle: seen.vehicleTitle(), numbers: Boolean(values.numbers),
      marks: ids.map(function (id) { return {id: id, title: titles[id]}; }),
    };
  }

  function show() {
    var read = seen.observe();
    observations = read.observations;
    said = read.said;
    // What is answered after all is no longer given up.
    said.forEach(function (each) { if (!each.isRefused) state.toggle("cannot", each.question, false); });
    rows.show(said);
    var isEmpty = seen.isPlain() || !Object.keys(observations).some(function (key) { return ["has_thread", "vehicle", "assembly"].indexOf(key) < 0; });
    byId("results").hidden = isEmpty;
    byId("unthreaded").hidden = !seen.isPlain();
    if (seen.isPlain()) whole();
    byId("rest").hidden = seen.isPlain();
    all("[data-plain]").forEach(function (part) {
      part.hidden = PLAIN.indexOf(values.kind) >= 0 && part.dataset.plain.split(" ").indexOf(values.kind) < 0;
    });
    answer = null;
    ranked = [];
    if (!isEmpty) decide();
    stud.show(answer, said, Boolean(answer) && view.isMeasured(answer));
    showStrip();
    speak();
  }

  function decide() {
    try {
      answer = engine.identify(observations, {next: false, vehicle: vehiclePart()});
    } catch (error) {
      view.refuse(error.message);
      return;
    }
    view.show(answer, context());
    showToTub();
    if (answer.candidates.length) document.dispatchEvent(new Event("decoder:answer"));
    clearTimeout(waiting.next);
    // The answer first; what to measure next may take a moment longer.
    waiting.next = setTimeout(function () {
      rank();
      view.next(ranked, context());
    }, NEXT_AFTER_MS);
  }

  /** The observations of every row that was given up. */
  function givenUp() {
    return state.list("cannot").reduce(function (keys, question) {
      var each = rows.get(question);
      return each ? keys.concat(each.dataset.observes.split(" ")) : keys;
    }, []);
  }

  /** What to observe next, without what was given up and what would need the same tool. */
  function rank() {
    var asked = Object.assign({}, observations, {cannot: givenUp()});
    ranked = answer ? engine.next(asked, {vehicle: vehiclePart()}).filter(function (step) {
      var each = rows.of(step.observe);
      return each && step.bits > 0 && !rows.isGivenUp(each.dataset.question);
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
    var slug = values.vehicle;
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

  /** The tub's script comes when the page has answered, so that the answer does not wait for it. */
  function openTub() {
    return window.decoderLoad("tub.js", window.decoderTub).then(function () {
      tub = tub || window.decoderTub.open(titles);
      return tub;
    });
  }

  /** Calls back with what the tub says of a row put in, or with null where its script cannot be had. */
  function putInTub(row, done) {
    openTub().then(function (opened) { done(opened.put(row)); }, function () { done(null); });
  }

  function openTubSoon() {
    setTimeout(function () { openTub().catch(function () { /* asked for again when something goes in */ }); }, 1500);
  }

  function kindWords() {
    if (stud.first()) return "stud, two ends";
    if (seen.isNut() && values.nut_kind) return values.nut_kind + " nut";
    if (seen.isBored() || !values.head) return values.kind || "";
    return values.head + " " + (values.kind || "head");
  }

  function showToTub() {
    var place = byId("to-tub");
    place.textContent = "";
    place.hidden = !view.isMeasured(answer);
    if (place.hidden) return;
    var words = answer.certainty.words;
    var offered = words === "cannot tell" ? [] : answer.candidates.slice(0, words === "could be" ? 2 : 1);
    offered.forEach(function (candidate) {
      var name = stud.joined(candidate.designation);
      offerTub(place, "Put " + name + " in the tub", name, stud.note(words === "almost certain" ? "" : answer.certainty.text));
    });
    if (!offered.length) {
      offerTub(place, "Put it in the tub, name still open", stud.joined("not known"), stud.note(said.map(function (each) { return each.text; }).join("; ")));
    }
  }

  function offerTub(place, text, designation, note) {
    place.appendChild(button(text, function () {
      putInTub({
        designation: designation, kind: kindWords(), length: seen.isAsked("length") && values.length || "", marks: values[seen.marksKey()] || "", quantity: 1, note: note,
      }, function (done) {
        var line = place.querySelector("p") || place.appendChild(make("p"));
        line.textContent = done ? "In the tub: " + done.words + ". " + done.count + (done.count === 1 ? " piece" : " pieces") + " in all. "
          : "Not in the tub: its script could not be fetched. Try again with a network. ";
        if (done) line.appendChild(button("Next one: clear the page", clear, "chip"));
      });
    }));
  }

  // ---- from one question to the next -------------------------------------------------------------------------------

  function go(observed, given) {
    var each = rows.of(observed) || rows.get(observed);
    if (each && each.dataset.question === "trials" && given) {
      state.set("trial_with", given);
      showState();
    }
    rows.ask(each);
  }

  function cannot(observed) {
    state.toggle("cannot", rows.of(observed).dataset.question, true);
    showState();
  }

  /** On to the next question: size and pitch first, then whatever would tell most, then the answer. */
  function onwardFrom(question) {
    var order = ["kind", seen.isBored() ? "minor_diameter" : "diameter", "pitch"];
    var later = order.slice(order.indexOf(question) + 1).filter(function (each) {
      return seen.isAsked(each) && !rows.isGiven(each) && !rows.isGivenUp(each);
    });
    rows.close(null);
    if (order.indexOf(question) >= 0 && later.length) return rows.ask(rows.get(later[0]));
    rank();
    var best = ranked.filter(function (step) { return step.bits >= WORTH_ASKING_BITS && rows.of(step.observe) !== rows.get(question); })[0];
    if (answer && view.isMeasured(answer) && (answer.certainty.words === "almost certain" || !best)) return arrive();
    if (best) return go(best.observe, best.with);
    if (seen.isPlain()) return byId("unthreaded").scrollIntoView({block: "start"});
    return rows.ask(rows.get(later[0] || order[1]));
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
    if (input.id === "trial-with") {
      one("#trial-outcomes button").focus();
      return;
    }
    if (input.id === "marks-reads") {
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
    var others = Object.assign({}, observations);
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
    offer(byId("leaves"), leaves, values.pitch, function (leaf) {
      state.set("pitch", leaf);
      if (values.pitch_with !== "known bolt") state.set("pitch_with", "");
    });
    showStrip();
  }

  /** Threads that someone is likely to have tried, the one that would tell most first. */
  function showKnown() {
    var steps = ranked.filter(function (step) { return step.observe === "trials"; }).map(function (step) { return step.with; });
    var likely = answer && view.isMeasured(answer) ? answer.candidates.slice(0, 6).map(function (candidate) { return candidate.designation.replace(/ LH$/, ""); }) : [];
    var known = steps.concat(likely).filter(function (designation, at, every) { return every.indexOf(designation) === at; }).slice(0, 6);
    byId("trial-known-label").hidden = !known.length;
    offer(byId("trial-known"), known, values.trial_with, function (designation) { state.set("trial_with", designation); });
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
      if (!values.trial_with) throw new Error("First say which thread it has, such as M8x1.25 or 5/16-18 UNC.");
      known = reading.thread(values.trial_with);
    } catch (error) {
      var line = byId("trial-with-read");
      if (!line.textContent) line.textContent = error.message;
      line.classList.add("refused");
      byId("trial-with").focus();
      return;
    }
    state.set("trials", state.list("trials").concat([known, pressed.dataset.outcome, pressed.dataset.turns || ""].join(";")).join("|"));
    state.set("trial_with", "");
    showState();
    rank();
    showKnown();
  });

  // ---- fields -----------------------------------------------------------------------------------------------------

  function showState() {
    all("[data-field]").forEach(function (input) {
      if (input.id !== "assembly" && input.value !== (values[input.dataset.field] || "") && (document.activeElement !== input || input.tagName === "SELECT" || !values[input.dataset.field])) {
        input.value = values[input.dataset.field] || "";
      }
    });
    fillAssemblies();
    show();
    typing.show();
    state.keepAddress();
    all("[data-choice]").forEach(function (group) {
      var key = group.dataset.choice;
      var chosen = state.list(key);
      var isAssumed = !chosen.length && /_with$/.test(key);
      if (isAssumed) chosen = [seen.assumed(key)];
      group.querySelectorAll("button[data-value]").forEach(function (each) {
        var isOn = chosen.indexOf(each.dataset.value) >= 0;
        each.setAttribute("aria-pressed", String(isOn));
        each.classList.toggle("assumed", isOn && isAssumed);
      });
    });
    all('[data-choice="kind"] button').forEach(function (each) {
      var isOfPlain = PLAIN.indexOf(each.dataset.value) >= 0;
      each.hidden = values.has_thread === "yes" ? isOfPlain : values.has_thread === "no" && !isOfPlain;
    });
    all("[data-cannot]").forEach(function (each) { each.setAttribute("aria-pressed", String(rows.isGivenUp(each.dataset.cannot))); });
    byId("numbers").setAttribute("aria-pressed", String(Boolean(values.numbers)));
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
    select.value = values.assembly || "";
  }

  /** A nut has no outside to measure: what was measured moves to where it belongs. */
  function setKind(value) {
    state.set("kind", value);
    if (value !== "stud") state.set("first_end", "");
    if (value) state.set("has_thread", PLAIN.indexOf(value) >= 0 ? "no" : "yes");
    var from = seen.isBored() ? "diameter" : "minor_diameter";
    var to = seen.isBored() ? "minor_diameter" : "diameter";
    if (values[from] && !values[to]) {
      state.set(to, values[from]);
      state.set(to + "_with", values[from + "_with"]);
      state.set(from, "");
      state.set(from + "_with", "");
    }
    marks.reset();
  }

  function choose(key, value) {
    var was = values[key] || "";
    var next = was === value ? "" : value;
    if (key === "kind") setKind(next);
    else state.set(key, next);
    if (key === "has_thread") {
      state.toggle("cannot", "has_thread", false);
      if ((next === "no") !== (PLAIN.indexOf(values.kind) >= 0)) state.set("kind", "");
    }
    if (key === "nut_kind" && next) state.set("kind", one('[data-choice="nut_kind"] [data-value="' + next + '"]').dataset.about);
    if (/_with$/.test(key) && next) carry(key, next);
    showState();
    if (!next) return;
    if (key === "has_thread" && !values.kind) rows.ask(rows.get("kind"));
    else if (key === "kind") onwardFromKind();
  }

  function onwardFromKind() {
    if (seen.isPlain()) {
      rows.close(null);
      byId("unthreaded").scrollIntoView({block: "start"});
    } else if (rows.isGiven("diameter") || rows.isGiven("minor_diameter")) {
      rows.close(null);
    } else {
      onwardFrom("kind");
    }
  }

  /** Whoever has a rule in the hand keeps it in the hand: measures not yet made take the same instrument. */
  function carry(key, instrument) {
    if (key === "pitch_with" || key === "over_with" || instrument === "name") return;
    MEASURES.forEach(function (measured) {
      if (!values[measured] && !values[measured + "_with"]) state.set(measured + "_with", instrument);
    });
  }

  function clear() {
    var vehicle = values.vehicle;
    var before = Object.assign({}, values);
    state.replace({});
    state.set("vehicle", vehicle);
    marks.reset();
    view.reset();
    rows.close(null);
    ["typed", "marks-reads"].forEach(function (id) { byId(id).value = ""; });
    byId("typed-read").textContent = "Cleared. ";
    byId("typed-read").classList.remove("refused");
    byId("typed-read").appendChild(button("Undo", function () {
      state.replace(before);
      byId("typed-read").textContent = "";
      showState();
    }, "chip"));
    byId("aloud").textContent = "Cleared.";
    showState();
    window.scrollTo(0, 0);
    one('[data-choice="has_thread"] button').focus({preventScroll: true});
  }

  all("[data-field]").forEach(function (input) {
    input.addEventListener("input", function () {
      var key = input.dataset.field;
      state.set(key, input.value);
      if (key === "vehicle") {
        state.set("assembly", "");
        state.remember(input.value);
      }
      if (input.tagName === "SELECT") {
        showState();
        return;
      }
      show();
      state.keepAddress();
      showAssumed(key + "_with");
    });
  });

  /** A decimal is taken off calipers, a fraction off a rule: the button says so while one types. */
  function showAssumed(key) {
    var group = one('[data-choice="' + key + '"]');
    if (!group || values[key]) return;
    Array.from(group.children).forEach(function (each) {
      var isOn = each.dataset.value === seen.assumed(key);
      each.setAttribute("aria-pressed", String(isOn));
      each.classList.toggle("assumed", isOn);
    });
  }

  root.addEventListener("click", function (event) {
    var pressed = event.target.closest("button");
    if (!pressed) return;
    if (pressed.dataset.cannot) {
      var question = pressed.dataset.cannot;
      var isOn = !rows.isGivenUp(question);
      state.toggle("cannot", question, isOn);
      if (isOn) giveUp(question);
      showState();
      if (isOn) onwardFrom(question);
    } else if (pressed.dataset.onward) {
      onwardFrom(pressed.dataset.onward);
    } else if (pressed.classList.contains("line")) {
      var each = pressed.closest("[data-question]");
      if (each.classList.contains("open")) rows.close(null);
      else rows.unfold(each);
    } else if (pressed.dataset.value && pressed.parentNode.dataset.choice) {
      choose(pressed.parentNode.dataset.choice, pressed.dataset.value);
    }
  });

  /** 'I cannot' takes back what was said there. */
  function giveUp(question) {
    var each = rows.get(question);
    each.dataset.observes.split(" ").concat(question).forEach(function (key) { state.set(key, ""); });
    if (question === "count") ["threads", "over", "counted"].forEach(function (key) { state.set(key, ""); });
    if (question === "has_thread") state.set("kind", "");
  }

  root.addEventListener("focusin", function (event) {
    var each = event.target.closest(".row");
    if (!each || !event.target.matches(".line > input")) return;
    if (each.classList.contains("open")) return;
    rows.unfold(each);
    // The keypad takes the lower half of the screen.
    if (touch) each.scrollIntoView({block: "start"});
  });

  root.addEventListener("keydown", function (event) {
    if (event.key === "Enter" && event.target.matches("#sheet input")) {
      event.preventDefault();
      onward(event.target);
    } else if (event.key === "Escape" && event.target.closest(".row.open")) {
      rows.close(null);
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
    state.set("numbers", values.numbers ? "" : "1");
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
    watchVerdict("away", "0px 0px -30% 0px");
    // All that lies above the screen.
    watchVerdict("above", "100000px 0px -100% 0px");
  }

  function watchVerdict(className, margin) {
    new IntersectionObserver(function (entries) {
      byId("strip").classList.toggle(className, entries[entries.length - 1].isIntersecting);
    }, {rootMargin: margin}).observe(byId("verdict"));
  }

  document.addEventListener("decoder:whole", function () {
    marks.show();
    // Whoever is already at work in the answer keeps it as it is.
    if (answer && !byId("results").contains(document.activeElement)) view.show(answer, context());
  });

  window.addEventListener("hashchange", function () {
    // A link within the page is no state.
    if (location.hash && location.hash.indexOf("=") < 0) return;
    readAddress();
    showState();
  });

  // ---- start ------------------------------------------------------------------------------------------------------

  one(".needs-script").hidden = true;
  all(".work").forEach(function (part) { part.hidden = false; });
  var typed = new URLSearchParams(location.search).get("q");
  readAddress();
  var isNew = !Object.keys(values).length;
  if (!values.vehicle) {
    state.set("vehicle", state.recall());
    if (!isKnown("vehicle")) state.set("vehicle", "");
  }
  showState();
  if (typed && isNew) {
    byId("typed").value = typed;
    readTyped(typed);
  }
  if (document.readyState === "complete") openTubSoon();
  else window.addEventListener("load", openTubSoon);
})();
