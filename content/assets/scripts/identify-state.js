/*
 * What was said on the identify page, as texts by key, and where it is kept: in the address after '#', so that a page can
 * be shared and survives a reload. The vehicle is also remembered on the phone (localStorage, key `decoder.vehicle`).
 * Lists are one text with `|` between their members.
 *
 *   decoderIdentifyState.make() → state
 *   state.values                 {key: text}; the object stays the same, so it may be held
 *        .set(key, text)         '' takes the key away     .list(key) → [text]     .toggle(key, member, isOn)
 *        .replace(values)        everything at once        .readAddress()          .keepAddress()
 *        .recall() → vehicle     .remember(vehicle)
 */
(function () {
  "use strict";

  var VEHICLE = "decoder.vehicle";

  /** Keys that are no answers: what was typed into the one field, and a trial that is not finished. */
  var PASSING = ["q", "trial_with"];

  var MOST_CHANGES = 60;
  var WITHIN_MS = 30000;

  function make() {
    var values = {};
    var changes = [];
    var waiting = 0;

    function set(key, text) {
      if (text) values[key] = text;
      else delete values[key];
    }

    function list(key) { return values[key] ? values[key].split("|") : []; }

    function toggle(key, member, isOn) {
      set(key, list(key).filter(function (each) { return each !== member; }).concat(isOn ? [member] : []).join("|"));
    }

    function replace(others) {
      Object.keys(values).forEach(function (key) { delete values[key]; });
      Object.keys(others).forEach(function (key) { set(key, others[key]); });
    }

    function readAddress() {
      var read = {};
      new URLSearchParams(location.hash.slice(1)).forEach(function (text, key) { read[key] = text; });
      replace(read);
    }

    function keepAddress() {
      var query = new URLSearchParams();
      Object.keys(values).sort().forEach(function (key) {
        if (PASSING.indexOf(key) < 0) query.set(key, values[key]);
      });
      clearTimeout(waiting);
      var now = Date.now();
      changes = changes.filter(function (time) { return now - time < WITHIN_MS; });
      // Browsers refuse an address that changes too often.
      if (changes.length >= MOST_CHANGES) {
        waiting = setTimeout(keepAddress, 1000);
        return;
      }
      changes.push(now);
      try {
        history.replaceState(null, "", location.pathname + (query.toString() ? "#" + query : ""));
      } catch (error) {
        // The page works without it; it only cannot be shared.
      }
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

    return {
      values: values, set: set, list: list, toggle: toggle, replace: replace, readAddress: readAddress,
      keepAddress: keepAddress, recall: recall, remember: remember,
    };
  }

  window.decoderIdentifyState = {make: make};
})();
