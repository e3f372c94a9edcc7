/*
 * What the person typed or ticked, as one file. Everything lies in localStorage on this phone alone:
 *
 *   decoder.tub              rows of the tub: [{designation, kind, length, marks, quantity, note}]
 *   decoder.ticks.<vehicle>  {"<assembly>/<joint>": {in, tightened, marked: time, record: the record's stamp}}
 *   decoder.units            'metric', 'inch', 'metric-only', 'inch-only', or absent
 *   decoder.vehicle          the vehicle that identify counts with: the last part of its address, or absent
 *
 * The file is JSON: {"format": "decoder my data 1", "written": time, "kept": {key: value}}. Taking one in adds to what is
 * here: a tick that either has is there, rows of the tub that are not here yet are added. Keys of the device itself
 * (`decoder.offline`, `decoder.awake`, `decoder.exported`, and whatever is measured on this screen) are not in it.
 *
 *   decoderMyData.collect() → {key: value}      .write() → text      .read(text) → {key: value}, or throws one sentence
 *   decoderMyData.add(kept) → words             .isUnsaved()         .markSaved()      .forget(): all of it is gone
 */
(function () {
  "use strict";

  var FORMAT = "decoder my data 1";
  var TICKS = "decoder.ticks.";
  var STEPS = ["in", "tightened", "marked"];
  var SAVED = "decoder.exported";

  function isObject(value) {
    return Boolean(value) && typeof value === "object" && !Array.isArray(value);
  }

  function isText(value) {
    return typeof value === "string" && value.length < 500;
  }

  // ---- shapes -----------------------------------------------------------------------------------------------------

  function isTicks(value) {
    return isObject(value) && Object.keys(value).every(function (joint) {
      var done = value[joint];
      return /^[a-z0-9-]+\/[a-z0-9-]+$/.test(joint) && isObject(done) && Object.keys(done).every(function (name) {
        return (STEPS.indexOf(name) >= 0 || name === "record") && isText(done[name]);
      });
    });
  }

  function isTub(value) {
    return Array.isArray(value) && value.every(function (row) {
      return isObject(row) && isText(row.designation) && row.designation && row.quantity > 0 && row.quantity % 1 === 0 &&
        ["kind", "length", "marks", "note"].every(function (name) { return row[name] === undefined || isText(row[name]); });
    });
  }

  var CHOICES = ["decoder.units", "decoder.vehicle"];

  function isKnown(key) {
    return key === "decoder.tub" || CHOICES.indexOf(key) >= 0 || /^decoder\.ticks\.[a-z0-9-]+$/.test(key);
  }

  function isRight(key, value) {
    if (key === "decoder.tub") return isTub(value);
    if (key === "decoder.units") return /^(metric|inch)(-only)?$/.test(value);
    if (key === "decoder.vehicle") return typeof value === "string" && /^[a-z0-9-]{1,100}$/.test(value);
    return isTicks(value);
  }

  function parsed(key, text) {
    if (CHOICES.indexOf(key) >= 0) return text;
    try {
      return JSON.parse(text);
    } catch (error) {
      return null;
    }
  }

  function stored(key, value) {
    return typeof value === "string" ? value : JSON.stringify(value);
  }

  // ---- out --------------------------------------------------------------------------------------------------------

  function collect() {
    var kept = {};
    try {
      Object.keys(localStorage).filter(isKnown).sort().forEach(function (key) {
        var value = parsed(key, localStorage.getItem(key));
        if (isRight(key, value)) kept[key] = value;
      });
    } catch (error) {
      // Storage is refused: there is nothing to collect.
    }
    return kept;
  }

  function write() {
    return JSON.stringify({format: FORMAT, written: new Date().toISOString(), kept: collect()}, null, 1) + "\n";
  }

  /** A short sum of what was typed or ticked, to tell whether it was saved since. */
  function sum() {
    var kept = collect();
    CHOICES.forEach(function (key) { delete kept[key]; });
    var text = JSON.stringify(kept);
    var total = 5381;
    for (var at = 0; at < text.length; at += 1) total = (total * 33 + text.charCodeAt(at)) % 4294967296;
    return text === "{}" ? "" : String(total);
  }

  function isUnsaved() {
    try {
      return sum() !== "" && localStorage.getItem(SAVED) !== sum();
    } catch (error) {
      return false;
    }
  }

  function markSaved() {
    try {
      localStorage.setItem(SAVED, sum());
    } catch (error) {
      // It will be asked for again.
    }
  }

  /** Also what is damaged and so is in no file. Throws where the phone refuses storage. */
  function forget() {
    Object.keys(localStorage).filter(function (key) {
      return isKnown(key) || key === SAVED || key.indexOf(TICKS) === 0;
    }).forEach(function (key) { localStorage.removeItem(key); });
  }

  // ---- in ---------------------------------------------------------------------------------------------------------

  function read(text) {
    var file = null;
    try {
      file = JSON.parse(text);
    } catch (error) {
      file = null;
    }
    if (!isObject(file) || file.format !== FORMAT || !isObject(file.kept)) {
      throw new Error("That is no file of this kind: one that was exported here begins with \"format\": \"" + FORMAT + "\". Nothing was taken.");
    }
    Object.keys(file.kept).forEach(function (key) {
      if (!isKnown(key)) throw new Error("The file holds ‘" + key + "’, which is not known here: it may come from a newer version. Nothing was taken.");
      if (!isRight(key, file.kept[key])) throw new Error("‘" + key + "’ in the file is damaged. Nothing was taken.");
    });
    return file.kept;
  }

  function addTicks(here, there) {
    var added = 0;
    Object.keys(there).forEach(function (joint) {
      here[joint] = here[joint] || {};
      Object.keys(there[joint]).forEach(function (name) {
        if (here[joint][name]) return;
        here[joint][name] = there[joint][name];
        if (name !== "record") added += 1;
      });
    });
    return added;
  }

  function addRows(here, there) {
    var known = here.map(function (row) { return JSON.stringify(row); });
    var added = there.filter(function (row) { return known.indexOf(JSON.stringify(row)) < 0; });
    added.forEach(function (row) { here.push(row); });
    return added.length;
  }

  /** Adds a file's content to what is here and says what came. Throws where the phone refuses to keep it. */
  function add(kept) {
    var here = collect();
    var ticks = 0;
    var rows = 0;
    Object.keys(kept).forEach(function (key) {
      if (key.indexOf(TICKS) === 0) ticks += addTicks(here[key] = here[key] || {}, kept[key]);
      else if (key === "decoder.tub") rows += addRows(here[key] = here[key] || [], kept[key]);
      else here[key] = here[key] || kept[key];
    });
    Object.keys(here).forEach(function (key) { localStorage.setItem(key, stored(key, here[key])); });
    return counted(ticks, "tick") + " and " + counted(rows, "row") + " of the tub were added; what was here already stayed.";
  }

  function counted(number, noun) {
    return number + " " + noun + (number === 1 ? "" : "s");
  }

  window.decoderMyData = {
    collect: collect, write: write, read: read, add: add, isUnsaved: isUnsaved, markSaved: markSaved, forget: forget,
    counted: counted,
  };
})();
