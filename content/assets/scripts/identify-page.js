/*
 * The identify page: reads what is typed and tapped, asks decoderIdentify, shows the answer.
 *
 * The page's HTML says which fields there are (data-field, data-choice); this script binds them, keeps their state in
 * the address (so a page can be shared and survives a reload) and draws the answer. Record and index text is only ever
 * set as text, never as HTML.
 */
(function () {
  "use strict";

  var root = document.getElementById("identify");
  if (!root || !window.decoderIdentify || !window.decoderQuantities || !window.decoderIndex) return;

  var engine = window.decoderIdentify.load(window.decoderIndex);
  var quantities = window.decoderQuantities;
  var base = root.dataset.base;
  var state = readAddress();
  var shown = 5;
  var pending = 0;
  var asked = {};
  var slugs = {};
  window.decoderIndex.threads.designation.forEach(function (designation) { slugs[designation] = quantities.slug(designation); });

  root.querySelector(".needs-script").hidden = true;
  root.querySelectorAll(".work").forEach(function (part) { part.hidden = false; });

  // ---- state ------------------------------------------------------------------------------------------------------

  function readAddress() {
    var kept = {};
    new URLSearchParams(location.hash.slice(1)).forEach(function (value, key) {
      if (value) kept[key] = value;
    });
    // The front page's form sends its one field as a query.
    var typed = new URLSearchParams(location.search).get("q");
    if (typed && !location.hash) kept.q = typed;
    return kept;
  }

  function keepAddress() {
    var query = new URLSearchParams();
    Object.keys(state).sort().forEach(function (key) {
      if (state[key] && key !== "q") query.set(key, state[key]);
    });
    var text = query.toString();
    history.replaceState(null, "", text ? "#" + text : location.pathname.split("/").pop() || "./");
  }

  function set(key, value) {
    if (value) state[key] = value;
    else delete state[key];
  }

  function list(key) {
    return state[key] ? state[key].split("|") : [];
  }

  // ---- reading ----------------------------------------------------------------------------------------------------

  /** Read a field's text; says below the field how it was understood, or in one sentence why not. */
  function read(key, reader, words) {
    var input = root.querySelector('[data-field="' + key + '"]');
    var line = document.getElementById(input.id + "-read");
    var text = (state[key] || "").trim();
    var value = null;
    var said = "";
    var refused = false;
    var choices = [];
    if (text) {
      try {
        value = reader(text);
        said = words(value);
      } catch (error) {
        said = error.message;
        choices = error.choices || [];
        refused = true;
      }
    }
    line.textContent = said;
    line.classList.toggle("refused", refused);
    choices.forEach(function (choice) {
      line.appendChild(chip(choice, function () {
        set(key, choice);
        showState();
      }));
    });
    input.setAttribute("aria-invalid", String(refused));
    return value;
  }

  function chip(text, chosen) {
    var button = element("button", "chip", text);
    button.type = "button";
    // The field keeps the focus, and with it the keypad.
    button.addEventListener("pointerdown", function (event) { event.preventDefault(); });
    button.addEventListener("click", chosen);
    return button;
  }

  function lengthWords(value) {
    return "= " + quantities.formatLength(value.mm);
  }

  /*
   * A bare number in a field of its own is read where only one unit can be meant: no thread of the tables is 7.9 in
   * across or has a pitch of 24 mm. The line below the field says how it was read; what may be either is refused.
   */
  function withUnit(text, small, smallBelow, large, largeFrom) {
    var bare = /^[0-9]*[.,]?[0-9]+$/.test(text) && !/^[0-9]{1,3}[.,][0-9]{3}$/.test(text) ? Number(text.replace(",", ".")) : NaN;
    if (bare > 0 && bare < smallBelow) return text + " " + small;
    if (bare >= largeFrom) return text + " " + large;
    return text;
  }

  function diameterOf(text) { return quantities.parseLength(withUnit(text, "in", 0.7, "mm", 2.6)); }
  function lengthOf(text) { return quantities.parseLength(withUnit(text, "in", 0.7, "mm", 13)); }
  function pitchOf(text) { return quantities.parsePitch(withUnit(text, "mm", 3.6, "tpi", 7)); }

  function measure(key, reader) {
    var value = read(key, reader, lengthWords);
    return value && {
      mm: value.mm, tolerance_mm: value.tolerance_mm, system: value.system, instrument: state[key + "_with"] || null,
    };
  }

  function spannerOf(text) {
    var wanted = squash(text);
    var found = window.decoderIndex.spanners.filter(function (row) {
      return squash(row[0]) === wanted || squash(row[0]) === wanted + "mm" || squash(row[0]) === wanted + "af";
    });
    if (found.length === 1) return {marking: found[0][0], jaw_mm: found[0][2]};
    var choices = found.map(function (row) { return row[0]; });
    var error = new Error(found.length
      ? "'" + text + "' may be " + choices.join(" or ") + ": say which."
      : "No spanner is marked '" + text + "' here: write 13 mm, 1/2 AF, 1/4W, 5/16BS or 2BA.");
    error.choices = choices;
    throw error;
  }

  function squash(text) {
    return text.toLowerCase().replace(/[\s"″”]|a\/f/g, function (found) { return found === "a/f" ? "af" : ""; });
  }

  function countOf(text) {
    if (!/^\d{1,3}$/.test(text) || Number(text) < 2) throw new Error("'" + text + "' is no count: write 2 or more, in figures.");
    return Number(text);
  }

  /** What the engine takes; see the head of identify.js. */
  function observations() {
    var seen = {};
    function put(key, value) {
      if (value !== null && value !== undefined && value !== "" && !(Array.isArray(value) && !value.length)) seen[key] = value;
    }
    if (state.has_thread) seen.has_thread = state.has_thread === "yes";
    // Calipers cannot reach the major diameter of a nut: its bore is asked for instead.
    var bored = isBored();
    root.querySelector('[data-observes="diameter"]').hidden = bored;
    root.querySelector('[data-observes="minor_diameter"]').hidden = !bored;
    if (!bored) put("diameter", measure("diameter", diameterOf));
    if (bored) put("minor_diameter", measure("minor_diameter", diameterOf));
    var pitch = read("pitch", pitchOf, function (value) { return "= " + quantities.formatPitch(value.pitch_mm, value.threads_per_inch); });
    if (pitch) {
      seen.pitch = {
        mm: pitch.pitch_mm, tolerance_mm: pitch.tolerance_mm, threads_per_inch: pitch.threads_per_inch,
        method: state.pitch_with || null,
      };
    }
    var threads = read("threads", countOf, function () { return ""; });
    var over = read("over", lengthOf, lengthWords);
    if (threads && over) seen.count = {threads: threads, over_mm: over.mm, counted: state.counted || null};
    put("across_flats", measure("across_flats", diameterOf));
    put("spanner", read("spanner", spannerOf, function (value) { return "= jaw " + quantities.formatLength(value.jaw_mm); }));
    put("head_height", measure("head_height", diameterOf));
    put("length", measure("length", lengthOf));
    read("trial_with", threadOf, function (designation) { return designation + ": now tap what it did."; });
    put("trials", trials());
    put("head_marks", list("head_marks"));
    ["kind", "crest", "hand", "condition", "material", "drive"].forEach(function (key) { put(key, state[key]); });
    if (state.flank_angle) seen.flank_angle = {degrees: Number(state.flank_angle), tolerance_degrees: 2};
    return seen;
  }

  function isBored() {
    var kind = window.decoderIndex.kinds[state.kind];
    return Boolean(kind) && kind.member === "internal";
  }

  /** The one designation that a typed thread means; says the choices where it means several. */
  function threadOf(text) {
    var said = quantities.parseDesignation(text);
    var found = threadsOf(said);
    if (found.length === 1) return found[0];
    var error = new Error(found.length ? "'" + text + "' may be one of these:" : "No thread of the tables is '" + text + "'.");
    error.choices = found.slice(0, 6);
    throw error;
  }

  /** Trials as the address keeps them: 'M8x1.25;binds;2', one after another. */
  function trials() {
    return list("trials").map(function (text) {
      var parts = text.split(";");
      return {with: parts[0], outcome: parts[1], turns: parts[2] ? Number(parts[2]) : null};
    });
  }

  function showTrials() {
    var place = document.getElementById("tried");
    place.textContent = "";
    list("trials").forEach(function (text, at) {
      var parts = text.split(";");
      var item = element("li", "", parts[0] + ": " + parts[1] + (parts[2] ? " after " + parts[2] + (parts[2] === "1" ? " turn" : " turns") : "") + " ");
      item.appendChild(chip("Remove", function () {
        var kept = list("trials");
        kept.splice(at, 1);
        set("trials", kept.join("|"));
        showState();
      }));
      place.appendChild(item);
    });
  }

  document.getElementById("trial-outcomes").addEventListener("click", function (event) {
    var button = event.target.closest("button");
    if (!button) return;
    var known;
    try {
      known = threadOf(state.trial_with || "");
    } catch (error) {
      var line = document.getElementById("trial-with-read");
      line.textContent = state.trial_with ? error.message : "First say which thread it has, such as M8x1.25 or 5/16-18 UNC.";
      line.classList.add("refused");
      document.getElementById("trial-with").focus();
      return;
    }
    set("trials", list("trials").concat([known, button.dataset.outcome, button.dataset.turns || ""].join(";")).join("|"));
    set("trial_with", "");
    showState();
  });

  document.getElementById("looks").addEventListener("click", function (event) {
    var button = event.target.closest("button");
    if (!button) return;
    var group = root.querySelector('[data-choice="head_marks"]');
    group.querySelectorAll("button").forEach(function (mark) {
      mark.classList.toggle("found", mark.dataset.look === button.dataset.look);
    });
    group.classList.add("narrowed");
    button.parentNode.querySelectorAll("button").forEach(function (one) {
      one.setAttribute("aria-pressed", String(one === button));
    });
  });

  // ---- one field for everything --------------------------------------------------------------------------------------

  function readTyped(text) {
    var line = document.getElementById("typed-read");
    line.textContent = "";
    line.classList.remove("refused");
    var readings;
    try {
      readings = quantities.readQuery(text).readings;
    } catch (error) {
      line.textContent = error.message;
      line.classList.add("refused");
      (error.choices || []).forEach(function (choice) {
        line.appendChild(chip(choice, function () {
          document.getElementById("typed").value = choice;
          readTyped(choice);
        }));
      });
      return;
    }
    var threads = readings.filter(function (reading) { return reading.kind === "thread"; });
    var others = readings.filter(function (reading) { return reading.kind !== "thread"; });
    // A class and the mark that claims it are one thing to see.
    var marks = others.filter(function (reading) { return reading.kind === "mark"; });
    if (marks.length) others = others.filter(function (reading) { return reading.kind !== "strength"; });
    if (others.length === 1) {
      take(others[0]);
      line.appendChild(element("span", "", "Read as " + others[0].says + ". "));
    } else if (others.length) {
      line.appendChild(element("span", "", "Which do you mean? "));
      others.forEach(function (reading) {
        line.appendChild(chip(reading.says.replace(/^an? /, ""), function () {
          take(reading);
          line.textContent = "Read as " + reading.says + ".";
        }));
      });
    }
    threads.forEach(function (reading) {
      threadsOf(reading.thread).slice(0, 6).forEach(function (designation) {
        var page = link("sizes/" + slugs[designation] + "/", "Page of " + designation);
        page.className = "chip";
        line.appendChild(page);
      });
    });
    if (!line.textContent) {
      line.textContent = "No thread of the tables is " + threads[0].thread.text + ".";
      line.classList.add("refused");
    }
    showState();
  }

  /** Puts a reading into the fields it speaks of. */
  function take(reading) {
    if (reading.kind === "measure") {
      set("diameter", reading.length.written);
      if (reading.pitch) set("pitch", reading.pitch.written);
    } else if (reading.kind === "pitch") {
      set("pitch", reading.pitch.written);
    } else if (reading.kind === "spanner") {
      set("spanner", reading.spanner);
    } else if (reading.kind === "mark") {
      showMarks(reading.mark);
    }
    showState();
  }

  /** The designations that a typed thread may be: all that agree with what was said of it. */
  function threadsOf(said) {
    var columns = window.decoderIndex.threads;
    var found = columns.designation.filter(function (designation, at) {
      if (said.designation) return designation === said.designation;
      if (said.family && !designation.endsWith(" " + said.family) && said.family !== "M") return false;
      var size = designation.split(/[-x ]/)[0];
      if (designation.indexOf("No. ") === 0) size = designation.split("-")[0];
      if (/^[\d-]+\/\d+-|^\d+-\d+\/\d+-/.test(designation)) size = designation.replace(/-\d+ .*$/, "");
      if (size !== said.size) return false;
      if (said.threads_per_inch && columns.tpi[at] !== said.threads_per_inch) return false;
      return !said.pitch_mm || Math.abs(columns.pitch[at] - said.pitch_mm) < 0.001;
    });
    if (said.family !== "M" || said.series !== "coarse") return found;
    // The coarse pitch of a metric size is the largest it has (ISO 261).
    return found.sort(function (a, b) {
      return columns.pitch[columns.designation.indexOf(b)] - columns.pitch[columns.designation.indexOf(a)];
    }).slice(0, 1);
  }

  /** Shows the marks whose words answer; a single one is taken. */
  function showMarks(words) {
    var figures = {1: "one", 2: "two", 3: "three", 4: "four", 5: "five", 6: "six", 7: "seven", 8: "eight"};
    var wanted = words.toLowerCase().split(/\s+/).map(function (word) {
      return (figures[word] || word).replace(/(lines|dashes|bars|dots|rings)$/, function (found) { return found.slice(0, found === "dashes" ? -2 : -1); });
    });
    var group = root.querySelector('[data-choice="head_marks"]');
    var found = [];
    group.querySelectorAll("button").forEach(function (button) {
      var has = wanted.every(function (word) { return (button.dataset.words || "").indexOf(word) >= 0; });
      button.classList.toggle("found", has);
      if (has) found.push(button.dataset.value);
    });
    if (found.length === 1) set("head_marks", found[0]);
    open(group);
    group.classList.toggle("narrowed", found.length > 0);
    group.scrollIntoView({block: "center"});
  }

  // ---- answer -----------------------------------------------------------------------------------------------------

  function element(name, className, text) {
    var made = document.createElement(name);
    if (className) made.className = className;
    if (text !== undefined) made.textContent = text;
    return made;
  }

  function link(address, text) {
    var made = element("a", "", text);
    made.href = base + address;
    return made;
  }

  function candidateItem(candidate) {
    var item = element("li");
    var head = element("div", "candidate-head");
    // A left-hand thread has the page of its right-hand twin.
    head.appendChild(link("sizes/" + candidate.slug.replace(/-lh$/, "") + "/", candidate.designation));
    head.appendChild(element("span", "words", candidate.words));
    item.appendChild(head);
    var bar = element("meter");
    bar.max = 1;
    bar.value = candidate.probability;
    bar.setAttribute("aria-label", candidate.designation + ": " + candidate.words);
    item.appendChild(bar);
    var pitch = quantities.formatPitch(candidate.pitch_mm, null);
    item.appendChild(element("p", "basis", "across the thread " + quantities.formatLength(candidate.major_mm) + ", pitch " + pitch));
    var why = element("details");
    why.appendChild(element("summary", "", "Why, and how sure"));
    var reasons = element("ul", "reasons");
    reasons.appendChild(element("li", "", percent(candidate.probability) + " of the odds, among all threads in the tables"));
    candidate.for.forEach(function (text) { reasons.appendChild(element("li", "", text)); });
    candidate.against.forEach(function (text) { reasons.appendChild(element("li", "against", text)); });
    why.appendChild(reasons);
    item.appendChild(why);
    if (candidate.joints.length) item.appendChild(jointLinks(candidate.joints));
    return item;
  }

  function jointLinks(joints) {
    var found = element("ul", "links");
    joints.slice(0, 4).forEach(function (joint) {
      var item = element("li");
      var parts = (joint.id || joint).split("/");
      item.appendChild(link("vehicles/" + parts[0] + "/" + parts[1] + "/#" + parts[2], "Goes in: " + (joint.title || parts[2])));
      found.appendChild(item);
    });
    return found;
  }

  function percent(probability) {
    if (probability > 0.995) return "more than 99 %";
    if (probability < 0.005) return "less than 1 %";
    return Math.round(100 * probability) + " %";
  }

  function show() {
    var seen = observations();
    var empty = !Object.keys(seen).length || state.has_thread === "no";
    root.querySelector(".results").hidden = empty;
    root.querySelector(".strip").hidden = empty;
    document.getElementById("no-thread").hidden = state.has_thread !== "no";
    if (empty) return;
    var answer = engine.identify(seen, {next: false, vehicle: vehiclePart()});
    var best = answer.candidates[0];
    var verdict = document.getElementById("verdict");
    verdict.textContent = "";
    verdict.appendChild(document.createTextNode(answer.certainty.text));
    verdict.appendChild(element("small", "", answer.strength_text));
    root.querySelector(".strip").textContent = "";
    root.querySelector(".strip").appendChild(element("span", "", best ? best.designation : "Nothing in the tables"));
    root.querySelector(".strip").appendChild(element("span", "", answer.certainty.words + " ▾"));
    keypadLine(best ? best.designation + " · " + answer.certainty.words : answer.certainty.words);
    var places = document.getElementById("candidates");
    places.textContent = "";
    answer.candidates.slice(0, shown).forEach(function (candidate) { places.appendChild(candidateItem(candidate)); });
    var none = document.getElementById("none-of-these");
    none.textContent = "None of these: " + percent(answer.none_of_these);
    document.getElementById("more-candidates").hidden = answer.candidates.length <= shown;
    var warnings = document.getElementById("warnings");
    warnings.textContent = "";
    if (answer.contradiction) root.querySelector(".verdict").appendChild(element("small", "odd", "✕ " + answer.contradiction.text));
    answer.warnings.forEach(function (warning) { warnings.appendChild(element("p", "caution", warning.text)); });
    document.dispatchEvent(new CustomEvent("decoder:answer", {detail: {answer: answer, state: state}}));
    var next = document.getElementById("next");
    next.hidden = true;
    clearTimeout(pending);
    // The answer first; what to measure next may take a moment longer.
    pending = setTimeout(function () { showNext(next, engine.next(seen, {vehicle: vehiclePart()})); }, 30);
  }

  function showNext(place, ranked) {
    place.hidden = !ranked.length;
    if (!ranked.length) return;
    place.textContent = "";
    place.appendChild(element("strong", "", "Next, this would tell most"));
    place.appendChild(element("p", "", ranked[0].how));
    var field = root.querySelector('[data-observes="' + ranked[0].observe + '"]');
    if (field) {
      var go = element("button", "", "Do that now");
      go.type = "button";
      go.addEventListener("click", function () {
        if (ranked[0].with) {
          set("trial_with", ranked[0].with);
          showState();
        }
        open(field);
        field.scrollIntoView({block: "center"});
        var first = field.querySelector("input, button");
        if (first) first.focus();
      });
      place.appendChild(go);
    }
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
      script.addEventListener("load", show);
      document.head.appendChild(script);
    }
    return null;
  }

  // ---- fields -----------------------------------------------------------------------------------------------------

  function open(field) {
    var group = field.closest("details");
    if (group) group.open = true;
  }

  function showState() {
    root.querySelectorAll("[data-field]").forEach(function (input) {
      if (document.activeElement !== input || input.tagName === "SELECT") input.value = state[input.dataset.field] || "";
    });
    root.querySelectorAll("[data-choice]").forEach(function (group) {
      var chosen = list(group.dataset.choice);
      group.querySelectorAll("button").forEach(function (button) {
        button.setAttribute("aria-pressed", String(chosen.indexOf(button.dataset.value) >= 0));
      });
      if (chosen.length) open(group);
    });
    root.querySelectorAll("details [data-field]").forEach(function (input) {
      if (input.value && input.tagName === "INPUT") open(input);
    });
    showTrials();
    keepAddress();
    show();
  }

  root.querySelectorAll("[data-field]").forEach(function (input) {
    input.addEventListener("input", function () {
      set(input.dataset.field, input.value);
      keepAddress();
      show();
    });
  });

  root.querySelectorAll("[data-choice]").forEach(function (group) {
    group.addEventListener("click", function (event) {
      var button = event.target.closest("button");
      if (!button) return;
      var key = group.dataset.choice;
      var chosen = list(key);
      var at = chosen.indexOf(button.dataset.value);
      if (group.dataset.many === undefined) chosen = at >= 0 ? [] : [button.dataset.value];
      else if (at >= 0) chosen.splice(at, 1);
      else chosen.push(button.dataset.value);
      set(key, chosen.join("|"));
      showState();
    });
  });

  root.addEventListener("submit", function (event) {
    event.preventDefault();
    var typed = document.getElementById("typed");
    if (typed.value.trim()) readTyped(typed.value);
    hideKeypad();
  });

  document.getElementById("more-candidates").addEventListener("click", function () {
    shown += 10;
    show();
  });

  document.getElementById("clear").addEventListener("click", function () {
    state = {};
    shown = 5;
    document.getElementById("typed").value = "";
    document.getElementById("typed-read").textContent = "";
    showState();
    window.scrollTo(0, 0);
  });

  window.addEventListener("hashchange", function () {
    state = readAddress();
    showState();
  });

  // ---- keypad -----------------------------------------------------------------------------------------------------

  var KEYS = [
    ["7"], ["8"], ["9"], ["/"], ["⌫", "back"],
    ["4"], ["5"], ["6"], ["."], ["mm", "unit", " mm"],
    ["1"], ["2"], ["3"], ["-"], ["in", "unit", " in"],
    ["abc", "letters"], ["0"], ["space", "text", " "], ["tpi", "unit", " tpi"], ["Done", "done"],
  ];
  var keypad = null;
  var target = null;
  var touch = window.matchMedia("(pointer: coarse)").matches;

  function makeKeypad() {
    keypad = element("div", "keypad");
    keypad.appendChild(element("div", "line"));
    KEYS.forEach(function (key) {
      var button = element("button", key[1] === "unit" ? "unit-key" : key[1] === "done" ? "done-key" : "", key[0]);
      button.type = "button";
      button.tabIndex = -1;
      if (key[1] === "back") button.setAttribute("aria-label", "Delete the last sign");
      if (key[1] === "letters") button.setAttribute("aria-label", "Letters: the phone's own keyboard");
      // pointerdown would take the focus from the field; the click still comes.
      button.addEventListener("pointerdown", function (event) { event.preventDefault(); });
      button.addEventListener("click", function () { press(key); });
      keypad.appendChild(button);
    });
    keypad.hidden = true;
    root.appendChild(keypad);
  }

  function press(key) {
    if (!target) return;
    if (key[1] === "done") {
      if (target.id === "typed" && target.value.trim()) readTyped(target.value);
      target.blur();
      return;
    }
    if (key[1] === "letters") {
      target.inputMode = "text";
      var again = target;
      hideKeypad();
      again.blur();
      again.focus();
      return;
    }
    if (key[1] === "back") {
      target.value = target.value.slice(0, -1);
    } else if (key[1] === "unit") {
      target.value = target.value.trim() + key[2];
    } else {
      target.value += key[2] || key[0];
    }
    target.dispatchEvent(new Event("input", {bubbles: true}));
  }

  function keypadLine(text) {
    if (keypad) keypad.querySelector(".line").textContent = text;
  }

  function hideKeypad() {
    if (keypad) keypad.hidden = true;
    document.body.classList.remove("typing");
    target = null;
  }

  if (touch) {
    makeKeypad();
    root.querySelectorAll("input[data-keypad]").forEach(function (input) {
      input.inputMode = "none";
      input.addEventListener("focus", function () {
        if (input.inputMode !== "none") return;
        target = input;
        keypad.hidden = false;
        document.body.classList.add("typing");
        input.scrollIntoView({block: "center"});
      });
      input.addEventListener("blur", function () {
        input.inputMode = "none";
        hideKeypad();
      });
    });
  }

  if (state.q) {
    document.getElementById("typed").value = state.q;
    readTyped(state.q);
    delete state.q;
  }
  showState();
})();
