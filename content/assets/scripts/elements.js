/*
 * Makes elements for the identify page and its tub. Text is only ever set as text, never as HTML.
 *
 *   decoderElements.make(name, className, text) → element
 *                  .button(text, pressed, className, label) → button; `label` is what is read out, the text where missing
 *                  .link(address, text, className) → link
 *                  .write(place, text) → place, with the text in it; a thread's designation is never broken at a line's end
 *                  .keepsFocus(button) → button that leaves the focus, and with it the keypad, to the field
 */
(function () {
  "use strict";

  function make(name, className, text) {
    var made = document.createElement(name);
    if (className) made.className = className;
    if (text !== undefined && text !== null) made.textContent = text;
    return made;
  }

  function button(text, pressed, className, label) {
    var made = make("button", className, text);
    made.type = "button";
    if (label) made.setAttribute("aria-label", label);
    made.addEventListener("click", pressed);
    return made;
  }

  function link(address, text, className) {
    var made = make("a", className, text);
    made.href = address;
    return made;
  }

  var DESIGNATION = /((?:No\. \d+|\d+(?:-\d+)?(?:\/\d+)?)-\d+(?:\.5)? (?:UN[CFS]?|UNEF|BS[WFCB]|NPTF?)(?: LH)?(?![A-Z])|M[\d.]*\dx[\d.]*\d|\d+ BA)/;

  function write(place, text) {
    text.split(DESIGNATION).forEach(function (part, at) {
      if (part) place.appendChild(at % 2 ? make("span", "whole", part) : document.createTextNode(part));
    });
    return place;
  }

  function keepsFocus(made) {
    made.addEventListener("pointerdown", function (event) { event.preventDefault(); });
    return made;
  }

  window.decoderElements = {make: make, button: button, link: link, write: write, keepsFocus: keepsFocus};
})();
