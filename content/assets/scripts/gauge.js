/*
 * The gauge on the screen: a bank card sets how many pixels a millimetre has, drawings are made at that scale, and
 * what is read goes to the identify page with what it may be off by.
 *
 * A screen does not know its own size, and zooming changes it, so nothing is shown before a card was laid on this
 * screen at this zoom. Sizes are set through attributes of the drawings, whose unit is the millimetre.
 */
(function () {
  "use strict";

  var root = document.getElementById("gauge");
  if (!root) return;

  var NS = "http://www.w3.org/2000/svg";
  var KEY = "decoder-gauge";
  var CARD_MM = Number(root.dataset.card);
  //: An edge is laid to a line to about this, and the card was laid so too, mm.
  var EDGE_MM = 0.3;
  //: Pitches nearer than this look alike on any screen; combs further off than this help nobody.
  var SAME_SHARE = 0.013;
  var FAR_SHARE = 0.2;
  var LEAST_COMB_MM = 15;
  var BAR_MM = 0.3;
  //: A crest that is off by this share of a pitch at the end of the thread is seen.
  var SEEN_SHARE = 0.25;

  var size = {key: "diameter", mm: {diameter: 8, across_flats: 13, length: 30}};
  var readings = {};
  var laid = 15;

  function part(id) { return document.getElementById(id); }

  function shape(name, attributes, text) {
    var made = document.createElementNS(NS, name);
    Object.keys(attributes).forEach(function (key) { made.setAttribute(key, attributes[key]); });
    if (text !== undefined) made.textContent = text;
    return made;
  }

  // ---- how many pixels a millimetre has -----------------------------------------------------------------------------

  /** What would change the size of a drawing: another screen, another zoom of the page, fingers spreading it. */
  function screenNow() {
    var sides = [window.screen.width, window.screen.height].sort(function (a, b) { return a - b; });
    return {ratio: window.devicePixelRatio, sides: sides.join("x")};
  }

  function kept() {
    try {
      var read = JSON.parse(window.localStorage.getItem(KEY));
      return read && read.pxPerMm > 1 && read.pxPerMm < 40 ? read : null;
    } catch (error) {
      return null;
    }
  }

  var set = kept();

  function keep(pxPerMm) {
    var now = screenNow();
    set = {pxPerMm: pxPerMm, ratio: now.ratio, sides: now.sides, day: new Date().toISOString().slice(0, 10)};
    try {
      window.localStorage.setItem(KEY, JSON.stringify(set));
    } catch (error) {
      // Storage is off: it holds until the page is left.
    }
  }

  /** Why the gauge cannot be used, or "" when it can. */
  function refusal() {
    var now = screenNow();
    if (!set) return "Not set yet: the gauge shows nothing before a card was laid on this screen.";
    if (set.sides !== now.sides) return "Set on another screen. Lay the card on this one.";
    if (Math.abs(set.ratio - now.ratio) > 0.001) return "The zoom of the page has changed since it was set. Lay the card again.";
    if (window.visualViewport && Math.abs(window.visualViewport.scale - 1) > 0.01) {
      return "The page is spread by fingers: bring it back to its normal size, then it is right again.";
    }
    return "";
  }

  // ---- drawing --------------------------------------------------------------------------------------------------------

  /** Empties a drawing and sets its size: `mm` is what its unit is worth in pixels. */
  function open(id, width, height, mm) {
    var svg = part(id);
    svg.textContent = "";
    svg.setAttribute("viewBox", "0 0 " + width + " " + height);
    svg.setAttribute("width", width * mm);
    svg.setAttribute("height", height * mm);
    svg.style.marginLeft = bleeds() ? -root.getBoundingClientRect().left + "px" : "";
    return svg;
  }

  /** A phone's whole width: the short edge of a card needs it. */
  function bleeds() { return document.documentElement.clientWidth < 600; }

  function room() { return bleeds() ? document.documentElement.clientWidth : root.clientWidth; }

  function drawCard() {
    var width = Number(part("set-width").value);
    var left = 8;
    var svg = open("set-screen", Math.max(room(), width + 2 * left), 110, 1);
    svg.appendChild(shape("rect", {x: left, y: 0, width: width, height: 110, "class": "card-band"}));
    // The card lies between the bars: their inner edges measure, whatever a bar is wide.
    [left - 1, left + width].forEach(function (x) {
      svg.appendChild(shape("rect", {x: x, y: 0, width: 1, height: 110, "class": "bar"}));
    });
    svg.appendChild(shape("text", {x: left + width / 2, y: 60, "text-anchor": "middle", "class": "band-words"}, "short edge of the card"));
  }

  /** A comb's outline: teeth upwards, flat-topped, 60 degrees; x of the first gap is `left`. */
  function teeth(pitch, left, tips, length) {
    var depth = 0.6 * pitch;
    var top = pitch / 8;
    var count = Math.floor(length / pitch);
    var path = "M" + left.toFixed(4) + " " + (tips + depth).toFixed(4);
    for (var tooth = 0; tooth < count; tooth += 1) {
      var middle = left + (tooth + 0.5) * pitch;
      var slope = depth * Math.tan(Math.PI / 6);
      path += "L" + (middle - top / 2 - slope).toFixed(4) + " " + (tips + depth).toFixed(4);
      path += "L" + (middle - top / 2).toFixed(4) + " " + tips.toFixed(4);
      path += "L" + (middle + top / 2).toFixed(4) + " " + tips.toFixed(4);
      path += "L" + (middle + top / 2 + slope).toFixed(4) + " " + (tips + depth).toFixed(4);
    }
    var end = left + count * pitch;
    return path + "L" + end.toFixed(4) + " " + (tips + depth + 1.2).toFixed(4) + "L" + left.toFixed(4) + " " + (tips + depth + 1.2).toFixed(4) + "Z";
  }

  function choices() {
    return Array.prototype.map.call(part("pitch-choice").options, function (option) {
      return {name: option.value, mm: Number(option.dataset.mm), threads: option.dataset.threads};
    });
  }

  /** The chosen pitch between the next two on each side that can be told from it by eye. */
  function shown() {
    var all = choices();
    var at = part("pitch-choice").selectedIndex;
    var chosen = all[at];
    function next(step) {
      var found = [];
      for (var place = at + step; place >= 0 && place < all.length && found.length < 2; place += step) {
        var off = Math.abs(all[place].mm - chosen.mm) / chosen.mm;
        if (off >= SAME_SHARE && off <= FAR_SHARE) found.push(all[place]);
      }
      return found;
    }
    var alike = all.filter(function (other) {
      return other !== chosen && Math.abs(other.mm - chosen.mm) / chosen.mm < SAME_SHARE;
    });
    return {chosen: chosen, combs: next(-1).reverse().concat([chosen], next(1)), alike: alike};
  }

  function drawCombs() {
    var now = shown();
    var width = room() / set.pxPerMm;
    var length = width - 3;
    var rows = now.combs.map(function (pitch) { return 4.6 + 0.6 * pitch.mm + 1.2 + (pitch === now.chosen ? 9 : 2); });
    var height = rows.reduce(function (sum, row) { return sum + row; }, 2);
    var svg = open("pitch-screen", width, height, set.pxPerMm);
    svg.appendChild(shape("rect", {x: 0, y: 0, width: width, height: height, "class": "paper"}));
    var y = 0;
    now.combs.forEach(function (pitch, place) {
      var isChosen = pitch === now.chosen;
      var tips = y + 4.6 + (isChosen ? 7 : 0);
      var name = shape("text", {x: 1.5, y: y + 3.6, "font-size": 3.2, "class": isChosen ? "comb-name chosen" : "comb-name"}, pitch.name);
      var comb = shape("path", {d: teeth(pitch.mm, 1.5, tips, length), "class": "comb", "data-pitch": pitch.mm});
      svg.appendChild(name);
      svg.appendChild(comb);
      y += rows[place];
    });
    var read = now.chosen.name + " (" + now.chosen.mm.toFixed(3) + " mm): " + now.chosen.threads + ".";
    if (now.alike.length) {
      read += " No screen tells it from " + now.alike.map(function (other) { return other.name; }).join(" and ") + ": try a known nut by fingers.";
    }
    if (length < LEAST_COMB_MM) read += " The screen is too narrow for a comb of " + LEAST_COMB_MM + " mm.";
    part("pitch-read").textContent = read;
    part("pitch-take").disabled = length < LEAST_COMB_MM;
  }

  var HOW = {
    diameter: "Lay the thread between the lines, upright on the screen like the lines. The left line along its left side; move the right line until it just touches the other.",
    across_flats: "Lay the head or nut down on its face, one flat along the left line. Move the right line until it just touches the flat opposite.",
    length: "Hexagon, cheese and pan heads: the underside of the head on the upper line. Countersunk: the top of the head. Move the lower line to the tip.",
  };

  /** The longest that fits: the width of the screen, for lengths most of its height, mm. */
  function longest() {
    var mm = (size.key === "length" ? 0.7 * window.innerHeight : room()) / set.pxPerMm - 6;
    return Math.max(1, Math.floor(10 * mm) / 10);
  }

  /** The reading between the lines; a screen that is turned shows less of it for a while. */
  function between() { return Math.min(size.mm[size.key], longest()); }

  function drawSize() {
    var slider = part("size-width");
    var mm = between();
    slider.max = longest();
    slider.value = mm;
    var upright = size.key === "length";
    var width = room() / set.pxPerMm;
    var height = upright ? longest() + 6 : 34;
    var svg = open("size-screen", width, height, set.pxPerMm);
    svg.appendChild(shape("rect", {x: 0, y: 0, width: width, height: height, "class": "paper"}));
    // The part lies between the bars: their inner edges measure.
    [3 - BAR_MM, 3 + mm].forEach(function (at) {
      svg.appendChild(shape("rect", upright
        ? {x: 0, y: at, width: width, height: BAR_MM, "class": "bar"}
        : {x: at, y: 0, width: BAR_MM, height: height, "class": "bar"}));
    });
    part("size-how").textContent = HOW[size.key];
    part("size-read").textContent = measured(mm) + " = " + (mm / 25.4).toFixed(3) + " in";
  }

  // ---- readings -------------------------------------------------------------------------------------------------------

  function tenths(mm) { return (Math.round(10 * mm) / 10).toFixed(1); }

  /** A length with what it may be off by: both edges, and the card by which the screen was set. */
  function measured(mm) {
    var off = Math.sqrt(EDGE_MM * EDGE_MM + Math.pow(EDGE_MM / CARD_MM * mm, 2));
    return tenths(mm) + " mm ±" + tenths(Math.max(EDGE_MM, off)) + " mm";
  }

  /** A pitch with what it may be off by: a quarter of a crest over the length that was laid on, and the scale. */
  function pitched(pitch) {
    var share = Math.sqrt(Math.pow(EDGE_MM / CARD_MM, 2) + Math.pow(SEEN_SHARE * pitch.mm / laid, 2));
    if (/tpi$/.test(pitch.name)) return pitch.name + " ±" + (25.4 / pitch.mm * share).toFixed(2) + " tpi";
    return pitch.name + " ±" + (pitch.mm * share).toFixed(3) + " mm";
  }

  var NAMES = {diameter: "Diameter", pitch: "Pitch", across_flats: "Across flats", length: "Length"};

  function showReadings() {
    var list = part("readings-list");
    var keys = Object.keys(NAMES).filter(function (key) { return readings[key]; });
    list.textContent = "";
    keys.forEach(function (key) {
      var item = document.createElement("li");
      item.textContent = NAMES[key] + ": " + readings[key] + " ";
      var remove = document.createElement("button");
      remove.type = "button";
      remove.textContent = "Remove";
      remove.setAttribute("aria-label", "Remove " + NAMES[key].toLowerCase());
      remove.addEventListener("click", function () {
        delete readings[key];
        showReadings();
      });
      item.appendChild(remove);
      list.appendChild(item);
    });
    part("readings-none").hidden = keys.length > 0;
    var go = part("readings-go");
    go.hidden = !keys.length;
    var query = new URLSearchParams();
    keys.forEach(function (key) { query.set(key, readings[key]); });
    go.href = go.href.split("#")[0] + "#" + query.toString();
  }

  // ---- the page -------------------------------------------------------------------------------------------------------

  function show() {
    var why = refusal();
    var state = part("set-state");
    part("set").hidden = false;
    ["pitch", "size", "readings"].forEach(function (id) { part(id).hidden = Boolean(why); });
    // Fingers spread the page: the card is still right once it is back.
    part("set-work").hidden = !why || /fingers/.test(why);
    part("set-again").hidden = Boolean(why);
    state.classList.toggle("refused", Boolean(why));
    state.textContent = why || "Set by a card on " + set.day + ": a millimetre has " + set.pxPerMm.toFixed(2) + " px. Holds for this screen at this zoom.";
    drawCard();
    if (!why) {
      drawCombs();
      drawSize();
    }
    showReadings();
  }

  function nudge(id, by, changed) {
    return function () {
      var slider = part(id);
      slider.value = Number(slider.value) + by;
      changed();
    };
  }

  function changedSize() {
    size.mm[size.key] = Number(part("size-width").value);
    drawSize();
  }

  function press(group, chosen) {
    part(group).querySelectorAll("button").forEach(function (button) {
      button.setAttribute("aria-pressed", String(button === chosen));
    });
  }

  function chosenIn(group, then) {
    part(group).addEventListener("click", function (event) {
      var button = event.target.closest("button");
      if (!button) return;
      press(group, button);
      then(button);
    });
  }

  function step(by) {
    return function () {
      var choice = part("pitch-choice");
      choice.selectedIndex = Math.max(0, Math.min(choice.options.length - 1, choice.selectedIndex + by));
      drawCombs();
    };
  }

  part("set-width").max = Math.max(300, room() - 16);
  // What most phones have: about 6.3 px a millimetre; the card says what this one has.
  part("set-width").value = (set ? set.pxPerMm : 160 / 25.4) * CARD_MM;
  part("set-width").addEventListener("input", drawCard);
  part("set-less").addEventListener("click", nudge("set-width", -0.5, drawCard));
  part("set-more").addEventListener("click", nudge("set-width", 0.5, drawCard));
  part("set-done").addEventListener("click", function () {
    keep(Number(part("set-width").value) / CARD_MM);
    show();
  });
  part("set-again").addEventListener("click", function () {
    set = null;
    readings = {};
    show();
  });
  part("pitch-choice").addEventListener("change", drawCombs);
  part("pitch-finer").addEventListener("click", step(-1));
  part("pitch-coarser").addEventListener("click", step(1));
  chosenIn("pitch-length", function (button) { laid = Number(button.dataset.mm); });
  part("pitch-take").addEventListener("click", function () {
    if (laid < 10) {
      part("pitch-read").textContent = "Under 10 mm of thread is too short for a screen to tell. Try a known nut by fingers, or combs on paper.";
      return;
    }
    readings.pitch = pitched(shown().chosen);
    showReadings();
  });
  chosenIn("size-what", function (button) {
    size.key = button.dataset.key;
    drawSize();
  });
  part("size-width").addEventListener("input", changedSize);
  part("size-less").addEventListener("click", nudge("size-width", -0.1, changedSize));
  part("size-more").addEventListener("click", nudge("size-width", 0.1, changedSize));
  part("size-take").addEventListener("click", function () {
    readings[size.key] = measured(between());
    showReadings();
  });

  // A change of zoom or screen resizes the window; spreading by fingers tells the visual viewport alone.
  window.addEventListener("resize", show);
  if (window.visualViewport) window.visualViewport.addEventListener("resize", show);
  root.querySelector(".needs-script").hidden = true;
  show();
})();
