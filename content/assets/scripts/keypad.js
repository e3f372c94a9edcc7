/*
 * A keypad of our own for measures: figures, fraction bar and units, on keys for a glove. It takes the place of the
 * phone's keyboard on touch screens; any other screen types as usual.
 *
 *   decoderKeypad.attach(root, does) → {line(text), hide()}
 *     root  inputs in it with data-keypad="length | pitch | count | spanner | thread | all" get the keypad, also later ones
 *     does  .onward(input)   the key at the lower right was pressed
 *           .answer()        the line with the live answer was pressed
 *           .quick(input)    → [{label, text}] whole entries to take in one tap, or []
 *   line(text) shows the live answer above the keys.
 */
(function () {
  "use strict";

  var make = window.decoderElements.make;

  /** Three keys that differ by field, and what stands ready above the keys. */
  var UNITS = {
    length: {keys: [["mm", " mm"], ["in", " in"], ["±", " ±"]], ready: []},
    pitch: {keys: [["mm", " mm"], ["tpi", " tpi"], ["±", " ±"]], ready: []},
    count: {keys: [["", ""], ["", ""], ["", ""]], ready: []},
    spanner: {keys: [["mm", " mm"], ["AF", " AF"], ["W", "W"]], ready: ["BS", "BA"]},
    thread: {keys: [["M", "M"], ["x", "x"], ["BA", " BA"]], ready: [" UNC", " UNF", " BSW", " BSF", " BSC"]},
    all: {keys: [["mm", " mm"], ["in", " in"], ["tpi", " tpi"]], ready: [" spanner", " lines", "M", " BA", " UNF"]},
  };

  /** A unit at the end of an entry gives way to another, and goes in one piece. */
  var UNIT = /\s*(?:mm|in|tpi|AF|W|BS|BA|UNC|UNF|BSW|BSF|BSC|spanner|lines)$/;

  var KEYS = [
    ["7"], ["8"], ["9"], ["/"], ["back"],
    ["4"], ["5"], ["6"], ["."], ["unit", 0],
    ["1"], ["2"], ["3"], ["-"], ["unit", 1],
    ["letters"], ["0"], ["space"], ["unit", 2], ["onward"],
  ];

  var NAMED = {
    back: {text: "⌫", says: "Delete the last sign"},
    letters: {text: "abc", says: "Letters: the phone's own keyboard"},
    space: {text: "␣", says: "Space"},
    onward: {text: "Next"},
  };

  var TAP_MS = 120;

  function attach(root, does) {
    var none = {line: function () {}, hide: function () {}};
    if (!window.matchMedia("(pointer: coarse)").matches) return none;
    var target = null;
    var leaving = 0;
    var isTapping = false;
    var answer = key("", "answer-line", function () { does.answer(); hide(); });
    var ready = make("div", "ready");
    var keys = make("div", "keys");
    var pad = make("div", "keypad no-print");
    pad.setAttribute("role", "group");
    pad.setAttribute("aria-label", "Keypad");
    pad.hidden = true;
    [answer, ready, keys].forEach(function (part) { pad.appendChild(part); });
    root.appendChild(pad);

    function key(text, className, pressed) {
      var made = window.decoderElements.keepsFocus(window.decoderElements.button(text, pressed, className));
      made.tabIndex = -1;
      return made;
    }

    function layout() { return UNITS[target.dataset.keypad] || UNITS.all; }

    function fill() {
      keys.textContent = "";
      KEYS.forEach(function (row) {
        var named = NAMED[row[0]];
        var unit = row[0] === "unit" ? layout().keys[row[1]] : null;
        var made = key(unit ? unit[0] : named ? named.text : row[0], row[0].length > 1 ? row[0] + "-key" : "", function () {
          press(row[0], unit);
        });
        if (named && named.says) made.setAttribute("aria-label", named.says);
        made.disabled = Boolean(unit) && !unit[0];
        keys.appendChild(made);
      });
      fillReady();
    }

    /** Whole entries first, if there are any, else endings. */
    function fillReady() {
      ready.textContent = "";
      var quick = does.quick(target);
      quick.slice(0, 6).forEach(function (entry) {
        ready.appendChild(key(entry.label, "quick-key", function () { put(entry.text, 0, target.value.length); }));
      });
      if (!quick.length) {
        layout().ready.forEach(function (text) {
          ready.appendChild(key(text.trim(), "quick-key", function () { ending(text); }));
        });
      }
      ready.hidden = !ready.firstChild;
    }

    function put(text, from, to) {
      target.setRangeText(text, from, to, "end");
      target.dispatchEvent(new Event("input", {bubbles: true}));
    }

    function ending(text) {
      var kept = UNIT.test(target.value) && UNIT.test(text) ? target.value.replace(UNIT, "") : target.value;
      put((kept.trim() + text).replace(/^ /, ""), 0, target.value.length);
    }

    function press(name, unit) {
      if (!target) return;
      var from = target.selectionStart;
      var to = target.selectionEnd;
      if (name === "onward") {
        does.onward(target);
      } else if (name === "letters") {
        letters();
      } else if (name === "back") {
        var unitAtEnd = from === to && from === target.value.length && UNIT.exec(target.value);
        put("", from === to ? Math.max(0, from - (unitAtEnd ? unitAtEnd[0].length : 1)) : from, to);
      } else if (unit && unit[1] !== "M" && unit[1] !== "x" && unit[1] !== " ±") {
        ending(unit[1]);
      } else {
        put(unit ? unit[1] : name === "space" ? " " : name, from, to);
      }
    }

    /** The phone's own keyboard, for this entry only. */
    function letters() {
      var again = target;
      again.blur();
      again.inputMode = "text";
      again.focus();
    }

    function show(input) {
      clearTimeout(leaving);
      target = input;
      fill();
      pad.hidden = false;
      document.body.classList.add("typing");
    }

    function hide() {
      clearTimeout(leaving);
      pad.hidden = true;
      document.body.classList.remove("typing");
      target = null;
    }

    function isOurs(element) {
      return element && element.matches && element.matches("input[data-keypad]");
    }

    // Before the focus, so that the phone's keyboard does not come up first.
    function ours(event) {
      if (isOurs(event.target) && event.target !== document.activeElement) event.target.inputMode = "none";
    }
    root.addEventListener("pointerdown", ours);
    root.querySelectorAll("input[data-keypad]").forEach(function (input) { input.inputMode = "none"; });

    document.addEventListener("pointerdown", function (event) { isTapping = !pad.contains(event.target); }, true);
    document.addEventListener("click", function () { isTapping = false; }, true);

    root.addEventListener("focusin", function (event) {
      if (!isOurs(event.target)) return;
      if (!event.target.inputMode) event.target.inputMode = "none";
      if (event.target.inputMode === "none") show(event.target);
    });
    root.addEventListener("focusout", function (event) {
      // A screen reader moves the focus to the key itself.
      if (!isOurs(event.target) || pad.contains(event.relatedTarget)) return;
      event.target.inputMode = "none";
      // What lies under the finger must not move before the tap that took the focus away has arrived.
      if (isTapping) leaving = setTimeout(hide, TAP_MS);
      else hide();
    });

    return {
      line: function (text) {
        answer.textContent = text;
        if (target) fillReady();
      },
      hide: hide,
    };
  }

  window.decoderKeypad = {attach: attach};
})();
