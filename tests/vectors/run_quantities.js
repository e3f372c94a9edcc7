/*
 * Holds decoderQuantities against vectors, in a browser page or in node: decoderVectors.failures(vectors) gives a line
 * for each vector that is not met. README.md says what a vector is.
 */
(function () {
  "use strict";

  var quantities = window.decoderQuantities;
  var readers = {
    "length": function (text) { return quantities.parseLength(text); },
    "length in mm field": function (text) { return quantities.parseLength(text, "mm"); },
    "pitch": function (text) { return quantities.parsePitch(text); },
    "pitch in tpi field": function (text) { return quantities.parsePitch(text, "tpi"); },
    "torque": quantities.parseTorque,
    "temperature": quantities.parseTemperature,
    "angle": quantities.parseAngle,
    "count": quantities.parseCount,
    "designation": quantities.parseDesignation,
    "query": quantities.readQuery,
  };
  var printers = {
    "mm": quantities.formatMm, "inch": quantities.formatInch, "length": quantities.formatLength,
    "pitch": quantities.formatPitch, "torque": quantities.formatTorque, "temperature": quantities.formatTemperature,
    "angle": quantities.formatAngle,
  };

  function same(expected, found) {
    if (typeof expected === "number" && typeof found === "number") {
      return Math.abs(expected - found) <= 1e-12 * Math.max(1, Math.abs(expected));
    }
    if (Array.isArray(expected)) {
      return Array.isArray(found) && expected.length === found.length &&
        expected.every(function (item, place) { return same(item, found[place]); });
    }
    if (expected && typeof expected === "object") {
      return Boolean(found) && Object.keys(expected).every(function (key) { return same(expected[key], found[key]); });
    }
    return expected === found;
  }

  function outcome(vector) {
    if (vector.print) return {text: printers[vector.print].apply(null, vector.of)};
    if (vector.slug) return {text: quantities.slug(vector.slug)};
    try {
      var value = readers[vector.read](vector.text);
      return vector.says ? {says: value.readings.map(function (reading) { return reading.says; })} : {value: value};
    } catch (error) {
      if (!(error instanceof quantities.QuantityError)) return {crash: String(error && error.stack)};
      return {refused: error.message, choices: error.choices};
    }
  }

  function expected(vector) {
    if (vector.print || vector.slug) return {text: vector.text};
    if (vector.says) return {says: vector.says};
    return "refused" in vector ? {refused: vector.refused, choices: vector.choices} : {value: vector.value};
  }

  window.decoderVectors = {
    failures: function (vectors) {
      return vectors.reduce(function (lines, vector) {
        var found = outcome(vector);
        return same(expected(vector), found) ? lines : lines.concat(JSON.stringify(vector) + " gave " + JSON.stringify(found));
      }, []);
    },
  };
})();
