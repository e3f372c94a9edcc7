/*
 * Reads and prints what people type: measures, thread designations and the one field into which anything goes. The twin
 * of the Python modules decoder.writing, decoder.quantities, decoder.thread_names and decoder.queries: the same text
 * gives the same values and the same sentences, held together by tests/vectors/quantities.json and designations.json,
 * so a change here is a change there. A classic script without page code, so it also works from file://.
 *
 *   decoderQuantities.parseLength(text, unit)   → {mm, system, tolerance_mm, written}   unit: 'mm' | 'in' | none, the
 *                                                 unit that the field itself shows, taken for a bare number
 *                    .parsePitch(text, unit)    → {pitch_mm, threads_per_inch, tolerance_mm, written}   unit: 'mm' | 'tpi'
 *                    .parseTorque(text)         → {nm, unit, low_nm, high_nm, written}
 *                    .parseTemperature(text)    → °C        .parseAngle(text) → degrees        .parseCount(text) → number
 *                    .parseDesignation(text)    → {family, size, threads_per_inch, pitch_mm, left_hand, families, series,
 *                                                  thread_class, assumed, designation, text}
 *                    .readQuery(text)           → {typed, readings: [{kind, says, thread, length, pitch, spanner,
 *                                                  strength, mark}]}   kind: 'thread' | 'measure' | 'pitch' | 'spanner' |
 *                                                 'strength' | 'mark'; what does not belong to the kind is null
 *                    .formatMm .formatInch .formatLength .formatPitch .formatTorque .formatTemperature .formatAngle
 *                    .trimmed(value, decimals) → text without zeros at its end    .shown(text) → as a message quotes it
 *                    .canonical(family, size, threads_per_inch, pitch_mm, left_hand)   .slug(designation)
 *
 * Text that cannot be used throws decoderQuantities.QuantityError: `message` is one sentence that says what was found and
 * how to write it, `choices` the readings it names.
 */
(function () {
  "use strict";

  // ---- writing: characters and numbers ------------------------------------------------------------------------------

  var LONGEST = 80;
  var MOST_DIGITS = 9;
  var RULE_DENOMINATORS = [2, 4, 8, 16, 32, 64, 128];

  var DECIMAL = "(?:[0-9]+(?:[.,][0-9]+)?|[.,][0-9]+)";
  var FRACTION = "(?:[0-9]+ ?/ ?[0-9]+)";
  var MIXED = "(?:[0-9]+(?: ?- ?| )[0-9]+ ?/ ?[0-9]+)";
  var NUMBER = "(?:" + MIXED + "|" + FRACTION + "|" + DECIMAL + ")";

  var VULGAR = {
    "¼": "1/4", "½": "1/2", "¾": "3/4", "⅐": "1/7", "⅑": "1/9", "⅒": "1/10", "⅓": "1/3", "⅔": "2/3", "⅕": "1/5",
    "⅖": "2/5", "⅗": "3/5", "⅘": "4/5", "⅙": "1/6", "⅚": "5/6", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8",
    "↉": "0/3",
  };
  var SUPERSCRIPT = digits("⁰¹²³⁴⁵⁶⁷⁸⁹");
  var SUBSCRIPT = digits("₀₁₂₃₄₅₆₇₈₉");
  var PLAIN = plainCharacters();
  var KEPT = "°·±µ";

  function digits(signs) {
    var made = {};
    Array.from(signs).forEach(function (sign, value) { made[sign] = String(value); });
    return made;
  }

  function plainCharacters() {
    var made = {};
    function all(signs, plain) { Array.from(signs).forEach(function (sign) { made[sign] = plain; }); }
    var code;
    all("\t\n\r\v\f\u00a0\u1680\u2028\u2029\u202f\u205f\u3000", " ");
    for (code = 0x2000; code < 0x200b; code += 1) made[String.fromCharCode(code)] = " ";
    // Marks without a width come along when text is copied from a page.
    all("\u00ad\u200b\u200c\u200d\u200e\u200f\u2060\ufeff\ufe0e\ufe0f", "");
    all("‐‑‒–—―−﹣", "-");
    all("⁄∕⧸", "/");
    all("“”„‟″〃", '"');
    all("‘’‚‛′´`", "'");
    all("×✕✖⨯", "x");
    all("⋅∙•‧", "·");
    all("º˚", "°");
    all("μ", "µ");
    all("℃", "°C");
    all("℉", "°F");
    all("№", "No ");
    all("⅟", "1/");
    all("Øø⌀∅", " dia ");
    // Full-width forms lie in the same order as the plain characters.
    for (code = 0x21; code < 0x7f; code += 1) made[String.fromCharCode(code + 0xfee0)] = String.fromCharCode(code);
    return made;
  }

  function QuantityError(message, choices, byNumber) {
    this.name = "QuantityError";
    this.message = message;
    this.choices = choices || [];
    this.byNumber = Boolean(byNumber);
    this.stack = new Error(message).stack;
  }
  QuantityError.prototype = Object.create(Error.prototype);
  QuantityError.prototype.constructor = QuantityError;

  function numberError(message) { return new QuantityError(message, [], true); }

  function sort(what, how) { return {what: what, how: how}; }

  function refuse(meant, text) {
    return new QuantityError("'" + shown(text) + "' is not " + meant.what + ": write " + meant.how + ".");
  }

  function has(object, key) { return Object.prototype.hasOwnProperty.call(object, key); }

  function full(pattern, flags) { return new RegExp("^(?:" + pattern + ")$", flags || ""); }

  function strip(text, signs) {
    var start = 0;
    var end = text.length;
    while (start < end && signs.indexOf(text[start]) >= 0) start += 1;
    while (end > start && signs.indexOf(text[end - 1]) >= 0) end -= 1;
    return text.slice(start, end);
  }

  function seen(character) {
    var code = character.codePointAt(0);
    if (code < 0x20 || (code >= 0x7f && code <= 0xa0) || code === 0x2028 || code === 0x2029) return " ";
    // Marks without a width, some of which turn the rest of the line round.
    if ((code >= 0x200b && code <= 0x200f) || (code >= 0x202a && code <= 0x202e) || (code >= 0x2060 && code <= 0x206f) ||
        code === 0xfeff) return "";
    return code >= 0xd800 && code <= 0xdfff ? "\ufffd" : character;
  }

  function shown(text) {
    var line = Array.from(strip(Array.from(text).map(seen).join("").replace(/ +/g, " "), " "));
    return line.length <= 40 ? line.join("") : line.slice(0, 39).join("") + "…";
  }

  function named(character) {
    // Look-alike letters of other alphabets cannot be told apart on paper; the number can.
    var code = "U+" + character.codePointAt(0).toString(16).toUpperCase().padStart(4, "0");
    return seen(character) === character ? "'" + character + "' (" + code + ")" : code;
  }

  function isDigit(character) { return character !== undefined && character >= "0" && character <= "9" && character.length === 1; }

  function tidy(text, meant) {
    var characters = Array.from(text);
    if (characters.length > LONGEST) {
      throw new QuantityError("'" + shown(text) + "' is too long to be " + meant.what + ": write " + meant.how + ".");
    }
    var made = "";
    var previous = "";
    characters.forEach(function (character) {
      var kind = has(SUPERSCRIPT, character) ? "raised" : has(SUBSCRIPT, character) ? "lowered" : "level";
      var plain;
      // A space on both sides, so that '1½' is one and a half and '½3' is not 1/23.
      if (has(VULGAR, character)) plain = " " + VULGAR[character] + " ";
      else if (kind !== "level") plain = has(SUPERSCRIPT, character) ? SUPERSCRIPT[character] : SUBSCRIPT[character];
      else plain = has(PLAIN, character) ? PLAIN[character] : character;
      Array.from(plain).forEach(function (one) {
        if ((one < " " || one > "~" || one.length > 1) && KEPT.indexOf(one) < 0) {
          throw new QuantityError("'" + shown(text) + "' holds the character " + named(one) + ", which is not used in " +
            meant.what + ": write " + meant.how + ".");
        }
      });
      if (made && kind !== previous && isDigit(plain[0]) && isDigit(made[made.length - 1])) made += " ";
      if (plain) {
        made += plain;
        previous = kind;
      }
    });
    var tidied = strip(made.replace(/ +/g, " "), " ").replace(/''/g, '"');
    if (!tidied) throw new QuantityError("Nothing is written where " + meant.what + " belongs: write " + meant.how + ".");
    return tidied;
  }

  /* A number matched by NUMBER: {value, is_fraction, is_integer, text, whole, numerator, denominator}. */
  function number(text) {
    (text.match(/[0-9]+/g) || []).forEach(function (run) {
      if (run.length > MOST_DIGITS) {
        throw numberError("'" + shown(text) + "' has more digits than any measure needs: write at most " + MOST_DIGITS + ".");
      }
    });
    if (text.indexOf("/") >= 0) {
      var parts = /^(?:([0-9]+)(?: ?- ?| ))?([0-9]+) ?\/ ?([0-9]+)$/.exec(text);
      return fraction(text, Number(parts[1] || 0), Number(parts[2]), Number(parts[3]));
    }
    if (/^[1-9][0-9]{0,2},[0-9]{3}$/.test(text)) {
      var at = text.replace(",", ".");
      var plain = text.replace(",", "");
      throw numberError("'" + text + "' may be " + at + " or " + plain +
        ": write a point before decimals and no mark between thousands.");
    }
    return {
      value: Number(text.replace(",", ".")), is_fraction: false, is_integer: /^[0-9]+$/.test(text), text: text, whole: 0,
      numerator: 0, denominator: 1,
    };
  }

  function fraction(text, whole, numerator, denominator) {
    if (denominator === 0) throw numberError("'" + text + "' divides by zero: write a fraction such as 5/16.");
    if (numerator === 0) throw numberError("'" + text + "' has nothing above the line: write a fraction such as 5/16.");
    if (numerator >= denominator) {
      var rest = numerator % denominator;
      var more = (numerator - rest) / denominator;
      var mixed = rest ? whole + more + "-" + rest + "/" + denominator : String(whole + more);
      throw numberError("'" + text + "' is a fraction of one or more, which is easily a slip: write " + mixed +
        " if that is meant.");
    }
    return {
      value: whole + numerator / denominator, is_fraction: true, is_integer: false, text: text, whole: whole,
      numerator: numerator, denominator: denominator,
    };
  }

  function trimmed(value, decimals) {
    var scaled = value * Math.pow(10, decimals);
    var nearest = Math.floor(Math.abs(scaled) + 0.5 + 1e-9);
    var sign = scaled < 0 && nearest ? "-" : "";
    var unit = Math.pow(10, decimals);
    var rest = nearest % unit;
    var whole = (nearest - rest) / unit;
    var after = decimals ? String(rest).padStart(decimals, "0").replace(/0+$/, "") : "";
    return sign + whole + (after ? "." + after : "");
  }

  function point(text) { return text.replace(/,/g, "."); }

  // ---- quantities ---------------------------------------------------------------------------------------------------

  var MM_PER_INCH = 25.4;
  var NM_PER_LBF_FT = 1.3558179483314004;
  var NM_PER_LBF_IN = NM_PER_LBF_FT / 12;
  var NM_PER_KGF_M = 9.80665;
  var NUMBER_SIZES = [0, 1, 2, 3, 4, 5, 6, 8, 10, 12];
  var METRIC_SIZES = [2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 14, 16, 18, 20, 22, 24, 27, 30, 33, 36, 39];
  var LONGEST_MM = 10000;
  var COARSEST_MM = 12;
  var FINEST_MM = 0.1;
  var MOST_TPI = 200;

  var LENGTH = sort("a length", "one such as 7.9 mm, 5/16 in or 1-1/8 in, with ±0.05 mm after it if unsure");
  var PITCH = sort("a pitch", "one such as 24 tpi or 1.25 mm");
  var TORQUE = sort("a torque", "one such as 24 N·m, 18 lbf·ft, 50 lbf·in or 18-22 lbf·ft");
  var TEMPERATURE = sort("a temperature", "one such as 120 °C or 250 °F");
  var ANGLE = sort("an angle", "degrees such as 60°, or a part of a turn such as 1/4 turn");
  var COUNT = sort("a count", "a whole number such as 4");

  var LENGTH_UNIT = '(?:mm|millimet(?:re|er)s?|cm|µm|um|microns?|in|ins|inch|inches|"|thou)\\.?';
  var MM_PER_UNIT = {
    "mm": [1, 1, "metric"], "cm": [10, 1, "metric"], "µm": [1, 1000, "metric"], "um": [1, 1000, "metric"],
    "in": [254, 10, "inch"], '"': [254, 10, "inch"], "thou": [254, 10000, "inch"],
  };
  var PLUS_MINUS = "(?:±|\\+ ?/? ?-)";
  var LENGTH_FORM = full("(?:dia(?:meter)?\\.? ?)?(" + NUMBER + ") ?(" + LENGTH_UNIT + ")?" +
    "(?: ?" + PLUS_MINUS + " ?(" + NUMBER + ") ?(" + LENGTH_UNIT + ")?)?(?: ?(?:af|a/f|a\\.f\\.|across flats))?");
  var LENGTH_RANGE = full("(" + NUMBER + ") ?(" + LENGTH_UNIT + ")? ?(to|-) ?(" + NUMBER + ") ?(" + LENGTH_UNIT + ")?");
  var TPI = '(?:tpi|t\\.p\\.i\\.?|threads?(?: ?/ ?| per | to the | an )(?:in|inch|")\\.?|per (?:in|inch)\\.?|' +
    '/ ?(?:in|inch|")\\.?)';
  var PITCH_TPI = full("(?:pitch ?)?(" + NUMBER + ") ?" + TPI + "(?: ?" + PLUS_MINUS + " ?(" + NUMBER + ") ?(?:" + TPI +
    ")?)?(?: pitch)?");
  var PITCH_LENGTH = full("(?:pitch ?)?(" + NUMBER + ") ?(" + LENGTH_UNIT + ")?(?: ?" + PLUS_MINUS + " ?(" + NUMBER +
    ") ?(" + LENGTH_UNIT + ")?)?(?: pitch)?");
  var TORQUE_FORM = full("(" + NUMBER + ")(?: ?(-|to|±|\\+ ?/? ?-) ?(" + NUMBER + "))? ?([a-z][a-z ·.*/-]*)?");
  var WITHOUT_LEVER = {"": ["N·m", "lbf·ft"]};
  ["lb", "lbs", "lbf", "pound", "pounds"].forEach(function (name) { WITHOUT_LEVER[name] = ["lbf·ft", "lbf·in"]; });
  ["kg", "kgf", "kp"].forEach(function (name) { WITHOUT_LEVER[name] = ["kgf·m", "kgf·cm"]; });
  var TORQUE_UNITS = torqueUnits();
  var TEMPERATURE_FORM = full("(-|\\+|minus )? ?(" + DECIMAL +
    ") ?(?:°|deg(?:ree)?s?\\.?)? ?(c|f|celsius|centigrade|fahrenheit)?");
  var ANGLE_FORM = full("(" + NUMBER + ") ?(?:°|deg(?:ree)?s?\\.?)?(?: ?([0-9]+) ?(?:'|min(?:ute)?s?\\.?))?");
  var TURN_FORM = full("(?:(" + NUMBER + ")|(half)|(quarter))(?: of)?(?: an?)? ?turns?");
  var COUNT_FORM = full("x? ?([0-9]+) ?(?:x|off|pcs?\\.?|pieces?)?");

  function torqueUnits() {
    var made = {};
    function all(spellings, unit, scale) { spellings.forEach(function (spelling) { made[spelling] = [unit, scale]; }); }
    function both(words, unit, scale) {
      ["lb", "lbs", "lbf", "pound", "pounds", "pounds force", "pound force"].forEach(function (pound) {
        words.forEach(function (word) {
          all([pound + " " + word, pound + word, word + " " + pound, word + pound], unit, scale);
        });
      });
    }
    all(["nm", "n m", "newton metre", "newton metres", "newton meter", "newton meters", "newtonmetres"], "N·m", 1);
    all(["danm", "dan m", "mdan", "m dan"], "daN·m", 10);
    all(["kgfm", "kgf m", "kgm", "kg m", "mkg", "m kg", "mkgf", "m kgf", "mkp", "m kp", "kpm", "kp m"], "kgf·m", NM_PER_KGF_M);
    all(["kgfcm", "kgf cm", "kgcm", "kg cm", "cmkg", "cm kg", "cmkgf", "cm kgf", "cmkp", "cm kp", "kpcm", "kp cm"],
      "kgf·cm", NM_PER_KGF_M / 100);
    both(["ft", "foot", "feet"], "lbf·ft", NM_PER_LBF_FT);
    both(["in", "ins", "inch", "inches"], "lbf·in", NM_PER_LBF_IN);
    all(["ozf in", "oz in", "in oz", "in ozf", "ozin", "inoz"], "ozf·in", NM_PER_LBF_IN / 16);
    return made;
  }

  function parseLength(text, unit) {
    var written = tidy(text, LENGTH);
    var halves = bracketed(written);
    var length = readLength(halves[0], written, unit || null);
    if (halves[1] !== null) agree(length.mm, readLength(halves[1], halves[1], null).mm, written);
    return length;
  }

  function parsePitch(text, unit) {
    var written = tidy(text, PITCH);
    var halves = bracketed(written);
    var pitch = readPitch(halves[0], written, unit || null);
    if (halves[1] !== null) agree(pitch.pitch_mm, readPitch(halves[1], halves[1], null).pitch_mm, written);
    return pitch;
  }

  function parseTorque(text) {
    var written = tidy(text, TORQUE);
    var halves = bracketed(written);
    var torque = readTorque(halves[0], written);
    if (halves[1] !== null) agree(torque.nm, readTorque(halves[1], halves[1]).nm, written);
    return torque;
  }

  function parseTemperature(text) {
    var written = tidy(text, TEMPERATURE);
    var match = TEMPERATURE_FORM.exec(written.toLowerCase());
    if (!match) throw refuse(TEMPERATURE, written);
    var value = number(match[2]).value;
    if (match[1] === "-" || match[1] === "minus ") value = -value;
    if (match[3] === undefined) {
      var plain = trimmed(value, 9);
      throw new QuantityError("'" + shown(written) + "' has no scale: write " + plain + " °C or " + plain + " °F.",
        [plain + " °C", plain + " °F"]);
    }
    var celsius = match[3][0] === "f" ? (value - 32) / 1.8 : value;
    if (!(celsius >= -273.15 && celsius <= 2000)) {
      throw new QuantityError("'" + shown(written) + "' is out of reach: write a temperature from -273 °C to 2000 °C.");
    }
    return celsius;
  }

  function parseAngle(text) {
    var written = tidy(text, ANGLE);
    var plain = written.toLowerCase();
    var turn = TURN_FORM.exec(plain);
    var degrees;
    if (turn) {
      degrees = 360 * (turn[1] ? number(turn[1]).value : turn[2] ? 0.5 : 0.25);
    } else {
      var match = ANGLE_FORM.exec(plain);
      if (!match) throw refuse(ANGLE, written);
      var minutes = match[2] ? number(match[2]).value : 0;
      if (minutes >= 60) {
        throw new QuantityError("'" + shown(written) + "' has 60 minutes or more: write minutes below 60, such as 47°30'.");
      }
      degrees = number(match[1]).value + minutes / 60;
    }
    if (!(degrees > 0 && degrees <= 720)) {
      throw new QuantityError("'" + shown(written) + "' is out of reach: write an angle above 0° and up to 720°.");
    }
    return degrees;
  }

  function parseCount(text) {
    var written = tidy(text, COUNT);
    var match = COUNT_FORM.exec(written.toLowerCase());
    if (!match) throw refuse(COUNT, written);
    var count = number(match[1]).value;
    if (!(count >= 1 && count <= 9999)) {
      throw new QuantityError("'" + shown(written) + "' is no count of parts: write a whole number from 1 to 9999.");
    }
    return count;
  }

  function formatMm(mm, decimals) { return trimmed(mm, decimals === undefined ? 3 : decimals) + " mm"; }

  function formatInch(mm) {
    var inches = mm / MM_PER_INCH;
    var parts = Math.floor(inches * 64 + 0.5);
    if (parts && Math.abs((parts * MM_PER_INCH) / 64 - mm) <= 0.001) return inchFraction(parts, 64) + " in";
    return trimmed(inches, 3) + " in";
  }

  function formatLength(mm, system) {
    if (system === "inch") return formatInch(mm) + " (" + formatMm(mm) + ")";
    return formatMm(mm) + " (" + formatInch(mm) + ")";
  }

  function formatPitch(pitchMm, threadsPerInch) {
    if (threadsPerInch !== null && threadsPerInch !== undefined) {
      return trimmed(threadsPerInch, 3) + " tpi (" + formatMm(pitchMm) + ")";
    }
    return formatMm(pitchMm) + " (" + trimmed(MM_PER_INCH / pitchMm, 1) + " tpi)";
  }

  function formatTorque(lowNm, highNm) {
    var high = highNm === null || highNm === undefined ? lowNm : highNm;
    var unit = high < 10 ? "lbf·in" : "lbf·ft";
    var scale = high < 10 ? NM_PER_LBF_IN : NM_PER_LBF_FT;
    var newton = threeFigures(lowNm);
    var pound = threeFigures(lowNm / scale);
    if (high > lowNm) {
      newton += "-" + threeFigures(high);
      pound += "-" + threeFigures(high / scale);
    }
    return newton + " N·m (" + pound + " " + unit + ")";
  }

  function formatTemperature(celsius) { return trimmed(celsius, 0) + " °C (" + trimmed(celsius * 1.8 + 32, 0) + " °F)"; }

  function formatAngle(degrees) { return trimmed(degrees, 2) + "°"; }

  function inchFraction(numerator, denominator) {
    while (numerator % 2 === 0 && denominator > 1) {
      numerator /= 2;
      denominator /= 2;
    }
    var rest = numerator % denominator;
    var whole = (numerator - rest) / denominator;
    if (!rest) return String(whole);
    return (whole ? whole + "-" : "") + rest + "/" + denominator;
  }

  function threeFigures(value) { return trimmed(value, value >= 100 ? 0 : value >= 10 ? 1 : 2); }

  function bracketed(written) {
    var match = /^([^()]+) ?\(([^()]+)\)$/.exec(written);
    return match ? [strip(match[1], " "), strip(match[2], " ")] : [written, null];
  }

  function agree(one, other, written) {
    // Printed figures are rounded, a manual's conversions coarsely.
    if (Math.abs(one - other) > 0.03 * Math.max(one, other)) {
      throw new QuantityError("'" + shown(written) + "' gives two measures that are not the same: write one of the two.");
    }
  }

  function unitName(unit) {
    var plain = unit.replace(/\.$/, "");
    if (plain.indexOf("millim") === 0) return "mm";
    if (plain.indexOf("micron") === 0) return "µm";
    return plain.indexOf("in") === 0 ? "in" : plain;
  }

  /* [mm, system] of a number with its unit; a bare fraction of a rule is inches. */
  function measured(value, unit, written) {
    if (unit === null && !value.is_fraction) throw bare(value);
    if (unit === null && RULE_DENOMINATORS.indexOf(value.denominator) < 0) {
      throw new QuantityError("'" + shown(written) + "' is no division of an inch rule: write " + value.text +
        " in if inches are meant, or decimals with a unit.", [value.text + " in"]);
    }
    var name = unitName(unit || "in");
    var perUnit = MM_PER_UNIT[name][0];
    var parts = MM_PER_UNIT[name][1];
    var system = MM_PER_UNIT[name][2];
    if (!value.is_fraction) return [(value.value * perUnit) / parts, system];
    if (system === "metric") {
      var choices = [value.text + " in", trimmed(value.value, 3) + " " + name];
      throw new QuantityError("'" + shown(written) + "' puts a fraction with " + name + ": write " + choices[0] +
        ", or a decimal such as " + choices[1] + ".", choices);
    }
    return [((value.whole * value.denominator + value.numerator) * perUnit) / (value.denominator * parts), system];
  }

  function bare(value) {
    var plain = point(value.text);
    if (value.value <= 0) {
      return new QuantityError("'" + value.text + "' is nothing: write a length above zero, such as 7.9 mm.");
    }
    if (value.value > LONGEST_MM) {
      return new QuantityError("'" + value.text + "' is longer than any fastener: write at most " + LONGEST_MM + " mm.");
    }
    var measures = value.value * MM_PER_INCH <= LONGEST_MM ? [plain + " mm", plain + " in"] : [plain + " mm"];
    var said = measures.join(" or ");
    if (!value.is_integer) return new QuantityError("'" + value.text + "' has no unit: write " + said + ".", measures);
    var whole = value.value;
    var threads = [];
    if (METRIC_SIZES.indexOf(whole) >= 0) threads.push("M" + whole);
    if (NUMBER_SIZES.indexOf(whole) >= 0) threads.push("No. " + whole);
    var pitches = whole >= 8 && whole <= 80 ? [whole + " tpi"] : [];
    if (threads.length || pitches.length) said += " for a measure";
    if (threads.length) said += ", " + threads.join(" or ") + " for a thread size";
    if (pitches.length) said += ", " + pitches[0] + " for a pitch";
    return new QuantityError("'" + value.text + "' has no unit: write " + said + ".", measures.concat(threads, pitches));
  }

  function readLength(text, written, unit) {
    var plain = text.toLowerCase();
    var match = LENGTH_FORM.exec(plain);
    if (!match) return readLengthRange(text, plain, written);
    var value = number(match[1]);
    var writtenUnit = match[2] || match[4] || (value.is_fraction ? null : unit);
    var at = measured(value, writtenUnit, written);
    var tolerance = null;
    if (match[3]) {
      var toleranceUnit = match[4] || match[2] || (at[1] === "inch" ? "in" : writtenUnit);
      tolerance = measured(number(match[3]), toleranceUnit, written)[0];
    }
    return checkedLength(at[0], at[1], tolerance, written);
  }

  function readLengthRange(text, plain, written) {
    var match = LENGTH_RANGE.exec(plain);
    if (!match || match[5] === undefined) throw notALength(text, plain);
    if (match[3] === "-" && (match[1] + match[4]).indexOf("/") >= 0) throw refuse(LENGTH, text);
    if (match[3] === "-") {
      var range = match[1] + " to " + match[4] + " " + match[5];
      throw new QuantityError("'" + shown(text) + "' may be a range or a slip: write " + range + " for a range.", [range]);
    }
    var low = measured(number(match[1]), match[2] || match[5], written)[0];
    var high = measured(number(match[4]), match[5], written);
    if (!(low < high[0])) {
      throw new QuantityError("'" + shown(text) + "' does not go upwards: write the smaller measure first.");
    }
    return checkedLength((low + high[0]) / 2, high[1], (high[0] - low) / 2, written);
  }

  function checkedLength(mm, system, toleranceMm, written) {
    if (mm <= 0) {
      throw new QuantityError("'" + shown(written) + "' is nothing: write a length above zero, such as 7.9 mm.");
    }
    if (mm > LONGEST_MM) {
      throw new QuantityError("'" + shown(written) + "' is longer than any fastener: write at most " + LONGEST_MM + " mm.");
    }
    checkTolerance(mm, toleranceMm, written);
    return {mm: mm, system: system, tolerance_mm: toleranceMm, written: written};
  }

  function checkTolerance(mm, toleranceMm, written) {
    if (toleranceMm !== null && !(toleranceMm > 0 && toleranceMm < mm)) {
      throw new QuantityError("'" + shown(written) + "' has a tolerance that is zero or as large as the measure: " +
        "write a small one such as ±0.05 mm, or none.");
    }
  }

  function notALength(text, plain) {
    var quoted = shown(text);
    if (full("- ?" + NUMBER + ".*").test(plain)) {
      return new QuantityError("'" + quoted + "' is below zero: write a length above zero, such as 7.9 mm.");
    }
    var match = full("(" + DECIMAL + ") ?mils?").exec(plain);
    if (match) {
      var choices = [match[1] + " mm", match[1] + " thou"];
      return new QuantityError("'" + quoted + "' may be millimetres or thousandths of an inch: write " + choices[0] +
        " or " + choices[1] + ".", choices);
    }
    if (full("m ?" + DECIMAL + ".*|" + NUMBER + " ?- ?[0-9]+.*").test(plain)) {
      return new QuantityError("'" + quoted +
        "' is a thread size, not a measure: write what was measured, such as 7.9 mm or 5/16 in.");
    }
    if (PITCH_TPI.test(plain)) {
      return new QuantityError("'" + quoted + "' is a pitch, not a length: write a length such as 7.9 mm or 5/16 in.");
    }
    return refuse(LENGTH, text);
  }

  function readPitch(text, written, unit) {
    var plain = text.toLowerCase();
    var match = PITCH_TPI.exec(plain);
    if (match) return countedPitch(number(match[1]), match[2] ? number(match[2]) : null, written);
    match = PITCH_LENGTH.exec(plain);
    if (!match) throw refuse(PITCH, text);
    var value = number(match[1]);
    var writtenUnit = match[2] || match[4] || null;
    if (writtenUnit === null && unit === "tpi") return countedPitch(value, match[3] ? number(match[3]) : null, written);
    writtenUnit = writtenUnit || unit;
    if (writtenUnit === null) throw barePitch(value);
    var at = measured(value, writtenUnit, written);
    var tolerance = match[3] ? measured(number(match[3]), match[4] || writtenUnit, written)[0] : null;
    // One part in so many of an inch is how a thread count reads on a rule.
    var counted = value.is_fraction && value.whole === 0 && value.numerator === 1 && at[1] === "inch";
    return checkedPitch(at[0], counted ? value.denominator : null, tolerance, written);
  }

  function countedPitch(count, tolerance, written) {
    var threads = count.value;
    if (threads <= 0) throw new QuantityError("'" + shown(written) + "' is nothing: write a pitch such as 24 tpi or 1.25 mm.");
    var toleranceMm = null;
    if (tolerance !== null) {
      if (!(tolerance.value > 0 && tolerance.value < threads)) checkTolerance(1, 0, written);
      toleranceMm = (MM_PER_INCH / (threads - tolerance.value) - MM_PER_INCH / (threads + tolerance.value)) / 2;
    }
    return checkedPitch(MM_PER_INCH / threads, threads, toleranceMm, written);
  }

  function checkedPitch(pitchMm, threadsPerInch, toleranceMm, written) {
    if (!(pitchMm >= FINEST_MM && pitchMm <= COARSEST_MM)) {
      throw new QuantityError("'" + shown(written) + "' is no thread pitch: write one from " + FINEST_MM + " mm to " +
        COARSEST_MM + " mm, or from 3 tpi to " + MOST_TPI + " tpi.");
    }
    checkTolerance(pitchMm, toleranceMm, written);
    return {pitch_mm: pitchMm, threads_per_inch: threadsPerInch, tolerance_mm: toleranceMm, written: written};
  }

  function barePitch(value) {
    var plain = point(value.text);
    var choices;
    var said;
    if (!(value.value >= FINEST_MM && value.value <= MOST_TPI)) {
      return new QuantityError("'" + value.text + "' is no thread pitch: write one such as 24 tpi or 1.25 mm.");
    }
    if (value.is_fraction && value.value >= 3) {
      choices = [plain + " tpi", plain + " in"];
      said = choices[0] + " for threads per inch, or " + choices[1] + " for a measure";
    } else if (value.value > 8 || (value.is_integer && value.value === 8)) {
      choices = [plain + " tpi", plain + " mm"];
      said = choices[0] + " for threads per inch, or " + choices[1] + " for a spanner or a measure";
    } else if (value.value < 3 && !value.is_fraction) {
      choices = [plain + " mm", plain + " in"];
      said = choices[0] + " for a pitch, or " + choices[1] + " for a measure";
    } else if (value.is_fraction) {
      choices = [plain + " in", "24 tpi"];
      said = choices[0] + " for the distance between crests, or a count such as " + choices[1];
    } else {
      choices = [plain + " tpi", plain + " mm"];
      said = choices[0] + " for threads per inch, or " + choices[1] + " for the distance between crests";
    }
    return new QuantityError("'" + value.text + "' has no unit: write " + said + ".", choices);
  }

  function readTorque(text, written) {
    var lower = text.toLowerCase();
    var match = TORQUE_FORM.exec(lower);
    if (!match) {
      if (full("- ?" + NUMBER + ".*").test(lower)) {
        throw new QuantityError("'" + shown(text) + "' is below zero: write a torque above zero, such as 24 N·m.");
      }
      throw refuse(TORQUE, text);
    }
    var name = strip((match[4] || "").replace(/[ ·.*-]+/g, " "), " ");
    var plain = point(strip(text.slice(0, text.length - (match[4] || "").length), " "));
    var over = /^([0-9]{1,9}) ?\/ ?([0-9]{1,9})$/.exec(plain);
    var isRange = over !== null && Number(over[1]) !== Number(over[2]);
    // Manuals print ranges with a stroke; nobody tightens to a fraction of a unit.
    if (isRange) plain = Number(over[1]) < Number(over[2]) ? over[1] + "-" + over[2] : over[2] + "-" + over[1];
    if (has(WITHOUT_LEVER, name)) {
      var choices = [plain + " " + WITHOUT_LEVER[name][0], plain + " " + WITHOUT_LEVER[name][1]];
      throw new QuantityError("'" + shown(text) + "' " + (name ? "names a weight alone" : "has no unit") + ": write " +
        choices[0] + " or " + choices[1] + ".", choices);
    }
    if (!has(TORQUE_UNITS, name)) throw refuse(TORQUE, text);
    var unit = TORQUE_UNITS[name][0];
    var scale = TORQUE_UNITS[name][1];
    if (isRange) {
      throw new QuantityError("'" + shown(text) + "' may be a range or a fraction: write " + plain + " " + unit +
        " for a range, or decimals.", [plain + " " + unit]);
    }
    var first = number(match[1]).value * scale;
    var second = match[3] ? number(match[3]).value * scale : null;
    var low = first;
    var high = first;
    if (second !== null && (match[2] === "-" || match[2] === "to")) {
      high = second;
      if (!(low < high)) {
        throw new QuantityError("'" + shown(text) + "' does not go upwards: write the smaller torque first.");
      }
    } else if (second !== null) {
      low = first - second;
      high = first + second;
    }
    if (low <= 0 || high > 100000) {
      throw new QuantityError("'" + shown(text) + "' is out of reach: write a torque above zero and up to 100000 N·m.");
    }
    return {nm: low === high ? first : (low + high) / 2, unit: unit, low_nm: low, high_nm: high, written: written};
  }

  // ---- thread names -------------------------------------------------------------------------------------------------

  var DESIGNATION = sort("a thread", "one such as 5/16-24 UNF, M8x1.25, 1/4-26 BSF, 2 BA or No. 10-32 UNF");
  var UNIFIED = ["UNC", "UNF", "UNEF", "UN", "UNS"];
  var PIPE = ["G", "R", "Rp", "Rc", "NPT", "NPTF"];
  var COARSEST_SHARE = 0.28;
  var LEAST_THREADS_PER_INCH = 4;
  var MOST_THREADS_PER_INCH = 100;
  var OLD_AMERICAN = "the older American name for the same thread";

  /* What families are called: pattern, families meant, series where the word fixes it, remark. Longest names first. */
  var FAMILY_WORDS = [
    ["(?:unified|american)(?: national)? extra[ -]?fine|unef", ["UNEF"], null, null],
    ["nef", ["UNEF"], null, "NEF is " + OLD_AMERICAN + " as UNEF"],
    ["unified(?: national)? fine|unf", ["UNF"], null, null],
    ["american(?: national)? fine|anf|nf", ["UNF"], null, "NF and ANF are " + OLD_AMERICAN + " as UNF"],
    ["sae(?: fine)?", ["UNF"], null, "SAE fine is " + OLD_AMERICAN + " as UNF"],
    ["unified(?: national)? coarse|unc", ["UNC"], null, null],
    ["american(?: national)? coarse|anc|nc|uss", ["UNC"], null, "NC, ANC and USS are " + OLD_AMERICAN + " as UNC"],
    ["unified(?: national)? special|uns", ["UNS"], null, null],
    ["ns", ["UNS"], null, "NS is " + OLD_AMERICAN + " as UNS"],
    ["un", ["UN"], null, null],
    ["unified|american", UNIFIED, null, null],
    ["british standard fine|brit(?:ish)? fine|bs fine|bsf", ["BSF"], null, null],
    ["british standard cycle|bs cycle|bscy|bsc|cycle|cei", ["BSC"], null, null],
    ["british (?:standard )?brass|bs brass|bsb|brass", ["BSB"], null, null],
    ["bspp|bsp parallel", ["G"], null, null],
    ["bspt|bsp taper(?:ed)?", ["R"], null, null],
    ["bsp|british standard pipe|gas", ["G", "R"], null, null],
    ["british standard whitworth|whitworth|whit|bsw|w", ["BSW"], null, null],
    ["british association|ba", ["BA"], null, null],
    ["nptf|dryseal", ["NPTF"], null, null],
    ["npt", ["NPT"], null, null],
    ["metric extra fine", ["M"], "extra fine", null],
    ["metric fine|mf", ["M"], "fine", null],
    ["metric coarse", ["M"], "coarse", null],
    ["metric", ["M"], null, null],
  ];
  var PIPE_PREFIXES = [["rp", "Rp"], ["rc", "Rc"], ["g", "G"], ["r", "R"]];
  var SERIES_OF = {UNC: "coarse", UNF: "fine", UNEF: "extra fine", BSW: "coarse", BSF: "fine"};
  var FAMILIES_OF_SERIES = {"coarse": ["UNC", "BSW"], "fine": ["UNF", "BSF"], "extra fine": ["UNEF"]};

  var FILLER = "threads?|threaded|pitch|bolts?|nuts?|set ?screws?|screws?|studs?|taps?|dies?|size|dia(?:meter)?";
  var HAND = "l ?h|left(?:[ -]?hand(?:ed)?)?|r ?h|right(?:[ -]?hand(?:ed)?)?";
  var CLASS = "[123] ?[ab]|[3-9][efgh](?:[3-9][efgh])?(?: ?/ ?[3-9][efgh](?:[3-9][efgh])?)?";
  var PER_INCH = "tpi|threads? per inch|threads?/in|per inch";
  var NUMBER_WORD = "(?:no|nr|num|number|n°)\\.?|#";
  var METRIC_FORM = full("(m ?)?(" + DECIMAL + ") ?(mm)?(?:( ?x ?| ?- ?| )(" + DECIMAL + ") ?(?:mm)?)?", "i");
  var NUMBERED_FORM = full("(?:" + NUMBER_WORD + ") ?([0-9]{1,2})(?:(?: ?[x/-] ?| )([0-9]{1,3}))?", "i");
  var INCH_FORM = full("(" + MIXED + "|" + FRACTION + "|" + DECIMAL + ')( ?(?:"|in(?:ch)?(?:es)?))?' +
    "(?:( ?x ?| ?- ?| )([0-9]{1,3}(?:[.,]5|[ -]1 ?/ ?2)?))?", "i");
  var LENGTH_AFTER = full('(.*[0-9"n]) ?x ?(' + NUMBER + ') ?(mm|in|")?(?: ?long)?', "i");
  var NO_SHAPE = {size: "", threads_per_inch: null, pitch_mm: null};

  function parseDesignation(text) {
    var written = tidy(text, DESIGNATION);
    var read = readThread(written);
    if (read.length !== null) {
      throw new QuantityError("'" + shown(written) + "' ends in a length: write the thread alone, " + read.thread.text + ".",
        [read.thread.text]);
    }
    return read.thread;
  }

  function canonical(family, size, threadsPerInch, pitchMm, leftHand) {
    var text;
    if (family === "M") text = size + "x" + trimmed(pitchMm, 4);
    else if (family === "BA") text = size + " BA";
    else if (["G", "R", "Rp", "Rc"].indexOf(family) >= 0) text = family + " " + size;
    else text = size + "-" + trimmed(threadsPerInch, 4) + " " + family;
    return leftHand ? text + " LH" : text;
  }

  function slug(designation) {
    return strip(designation.toLowerCase().replace(/[/ .]/g, "-").replace(/-+/g, "-"), "-");
  }

  /* The canonical designation, or null where a table is needed to complete it. */
  function wholeDesignation(thread) {
    if (thread.family === null) return null;
    if (thread.family === "M" && thread.pitch_mm === null) return null;
    if (["M", "BA", "G", "R", "Rp", "Rc"].indexOf(thread.family) < 0 && thread.threads_per_inch === null) return null;
    return canonical(thread.family, thread.size, thread.threads_per_inch, thread.pitch_mm, thread.left_hand);
  }

  function threadText(thread) {
    if (thread.designation !== null) return thread.designation;
    var parts = [thread.size];
    if (thread.threads_per_inch !== null) parts[0] += "-" + trimmed(thread.threads_per_inch, 4);
    // '1 UNF' may be No. 1.
    else if (/^[0-9]+$/.test(thread.size)) parts[0] += " in";
    if (thread.family !== null && thread.family !== "M") parts.push(thread.family);
    else if (thread.families.join(" ") === "G R") parts.push("BSP");
    if (thread.series !== null && !thread.assumed.length) parts.push(thread.series);
    if (thread.left_hand) parts.push("LH");
    return parts.join(" ");
  }

  /* {thread, length}: the thread of a tidied text, and the length that stands after it, null where there is none. */
  function readThread(written) {
    if (written[0] === "-") throw refuse(DESIGNATION, written);
    var rest = written.replace(/\*/g, "x").replace(/([a-z])\.(?=[a-z -]|$)/gi, "$1");
    refuseOtherNames(rest, written);
    rest = take(FILLER, rest).rest;
    var hands = take(HAND, rest);
    var families = takeFamilies(hands.rest, written);
    var classes = take(CLASS, families.rest, "[ -]", "$|[ -]");
    var words = take("extra[ -]?fine|coarse|fine", classes.rest);
    var series = families.series;
    if (words.found.length) series = /^extra/i.test(words.found[0]) ? "extra fine" : words.found[0].toLowerCase();
    var counts = take(PER_INCH, words.rest);
    var counted = counts.found.length > 0;
    rest = strip(counts.rest, " -,");
    var sides = hands.found.map(function (hand) { return hand[0].toLowerCase(); });
    if ((sides.indexOf("l") >= 0 && sides.indexOf("r") >= 0) || classes.found.length > 1 || words.found.length > 1) {
      throw refuse(DESIGNATION, written);
    }
    if (counted && full(NUMBER).test(rest)) {
      throw new QuantityError("'" + shown(written) + "' is a pitch without a size: write both, such as 5/16-24.");
    }

    var length = null;
    var shape = shapeOf(rest, families.families, counted, written);
    if (shape === NO_SHAPE) {
      var split = LENGTH_AFTER.exec(rest);
      shape = split ? shapeOf(strip(split[1], " -"), families.families, counted, written) : NO_SHAPE;
      if (shape === NO_SHAPE) throw noThread(rest, families.families, written);
      length = split[2] + " " + (split[3] || (shape.size[0] === "M" ? "mm" : "in"));
    }

    var allowed = families.families;
    var remarks = families.remarks;
    if (shape.size[0] === "M") {
      allowed = ["M"];
      if (shape.pitch_mm === null && series === null) {
        series = "coarse";
        remarks = remarks.concat([shape.size + " without a pitch is taken as coarse"]);
      }
    } else if (!allowed.length && series !== null) {
      allowed = FAMILIES_OF_SERIES[series];
    }
    var family = allowed.length === 1 ? allowed[0] : null;
    if (family !== null && has(SERIES_OF, family) && series !== null && series !== SERIES_OF[family]) {
      throw new QuantityError("'" + shown(written) + "' contradicts itself, since " + family + " is " + SERIES_OF[family] +
        ": write one of the two.");
    }
    var thread = {
      family: family, size: shape.size, threads_per_inch: shape.threads_per_inch, pitch_mm: shape.pitch_mm,
      left_hand: sides[0] === "l", families: allowed.slice(), series: series,
      thread_class: classes.found.length ? classes.found[0].replace(/ /g, "") : null, assumed: remarks,
    };
    thread.designation = wholeDesignation(thread);
    thread.text = threadText(thread);
    return {thread: thread, length: length};
  }

  /* {found, rest}: every such word that stands by itself, and the text without them. */
  function take(words, text, before, after) {
    // A capturing group and no look-behind, because browsers on older phones refuse look-behind.
    var pattern = new RegExp("(^|" + (before || "[^a-z]") + ")(" + words + ")(?=" + (after || "$|[^a-z]") + ")", "gi");
    var found = [];
    var rest = text.replace(pattern, function (_, boundary, word) {
      found.push(word);
      return boundary + " ";
    });
    return {found: found, rest: found.length ? strip(rest.replace(/ +/g, " "), " ") : text};
  }

  function takeFamilies(text, written) {
    var made = {families: [], series: null, remarks: [], rest: text};
    FAMILY_WORDS.forEach(function (entry) {
      var taken = take(entry[0], made.rest);
      if (!taken.found.length) return;
      if (made.families.length && made.families.join(" ") !== entry[1].join(" ")) {
        throw new QuantityError("'" + shown(written) + "' names two thread families: write one of them.");
      }
      made = {families: entry[1], series: entry[2], remarks: entry[3] ? [entry[3]] : [], rest: taken.rest};
    });
    if (made.families.length) return made;
    for (var place = 0; place < PIPE_PREFIXES.length; place += 1) {
      var match = full(PIPE_PREFIXES[place][0] + " ?([0-9].*?)( ?[ab])?", "i").exec(made.rest);
      if (match) return {families: [PIPE_PREFIXES[place][1]], series: null, remarks: [], rest: match[1]};
    }
    return made;
  }

  function refuseOtherNames(text, written) {
    if (full("(?:sae|j429|class|grade|gr|sae grade|sae gr) ?[0-9]{1,2}(?:\\.[0-9])?", "i").test(text)) {
      throw new QuantityError("'" + shown(written) +
        "' is a strength, which any thread may have: write the size, such as 5/16-24 UNF.");
    }
    if (full("(" + NUMBER + ') ?(?:mm|in|")? ?(?:af|a/f|across flats)', "i").test(text)) {
      throw new QuantityError("'" + shown(written) + "' is a width across flats, which is a spanner and fixes no thread: " +
        "write the bolt's own size, such as 5/16-24 UNF.");
    }
    var jaw = full("(" + NUMBER + ") ?bs", "i").exec(text);
    if (jaw) {
      var choices = [jaw[1] + " BSF", jaw[1] + " BSW"];
      throw new QuantityError("'" + shown(written) + "' marks a spanner: write " + choices[0] + " or " + choices[1] +
        " for the thread.", choices);
    }
  }

  function within(families, others) {
    return families.every(function (family) { return others.indexOf(family) >= 0; });
  }

  function shapeOf(rest, families, counted, written) {
    var match;
    if (families.length === 1 && families[0] === "BA") {
      match = full("(?:(?:" + NUMBER_WORD + ") ?)?([0-9]{1,2})", "i").exec(rest);
      return match && Number(match[1]) <= 25 ? shape(String(Number(match[1])), null, null) : NO_SHAPE;
    }
    match = NUMBERED_FORM.exec(rest);
    if (match) return numbered(Number(match[1]), match[2], families);
    match = METRIC_FORM.exec(rest);
    if (match && !counted && isMetric(match, families, written)) return metric(match, families);
    match = INCH_FORM.exec(rest);
    return match && families.indexOf("M") < 0 ? inch(match, families, written) : NO_SHAPE;
  }

  function shape(size, threadsPerInch, pitchMm) { return {size: size, threads_per_inch: threadsPerInch, pitch_mm: pitchMm}; }

  function numbered(size, threads, families) {
    if (NUMBER_SIZES.indexOf(size) < 0 || !within(families, UNIFIED)) return NO_SHAPE;
    if (threads === undefined) return shape("No. " + size, null, null);
    return mayBePitch(numberSizeIn(size), Number(threads)) ? shape("No. " + size, Number(threads), null) : NO_SHAPE;
  }

  function isMetric(match, families, written) {
    if (families.length || match[1] !== undefined) {
      var allowed = !families.length || (families.length === 1 && families[0] === "M");
      if (match[1] !== undefined && !allowed) {
        throw new QuantityError("'" + shown(written) + "' names two thread families: write one of them.");
      }
      return allowed;
    }
    // Without an M, a second number with decimals can only be a pitch in millimetres.
    var usual = [1.6, 2.5, 3.5].concat(METRIC_SIZES).indexOf(Number(point(match[2]))) >= 0;
    return usual && match[5] !== undefined && (match[3] !== undefined || !/^[0-9]+$/.test(match[5]));
  }

  function metric(match, families) {
    var size = number(match[2]).value;
    if (!(size >= 1 && size <= 100)) return NO_SHAPE;
    var name = "M" + trimmed(size, 4);
    if (match[5] === undefined) return match[1] !== undefined || families.length ? shape(name, null, null) : NO_SHAPE;
    var pitchMm = number(match[5]).value;
    return pitchMm > 0 && pitchMm <= COARSEST_SHARE * size ? shape(name, null, pitchMm) : NO_SHAPE;
  }

  function inch(match, families, written) {
    var size = number(match[1]);
    var threads = match[4] ? threadsOf(match[4]) : null;
    var unified = within(families, UNIFIED);
    var marked = match[2] !== undefined;
    var name;
    var inches;
    if (size.is_fraction) {
      name = fractionName(size.whole, size.numerator, size.denominator, written);
      inches = size.value;
    } else if (size.is_integer) {
      var whole = size.value;
      if (!marked && match[4] !== undefined && /^[0-9]+$/.test(match[4]) && !families.length) {
        var refusal = crossed(whole, Number(match[4]), match[3].toLowerCase().indexOf("x") >= 0, written);
        if (refusal !== null) throw refusal;
      }
      if (!marked && threads === null && unified && !(families.length && whole > 4)) throw bareSize(whole, families, written);
      var byNumber = !marked && unified && NUMBER_SIZES.indexOf(whole) >= 0 && isNumbered(whole, threads);
      name = byNumber ? "No. " + whole : String(whole);
      inches = byNumber ? numberSizeIn(whole) : whole;
      if (!byNumber && !(whole >= 1 && whole <= 6)) return NO_SHAPE;
    } else {
      if (threads === null && !families.length) return NO_SHAPE;
      var decimal = decimalName(size.value);
      if (decimal === null) return NO_SHAPE;
      name = decimal[0];
      inches = decimal[1];
    }
    // A pipe thread is named by the bore, and stands well outside it.
    var pipe = families.some(function (family) { return PIPE.indexOf(family) >= 0; });
    if (threads !== null && !mayBePitch(pipe ? inches + 0.3 : inches, threads)) return NO_SHAPE;
    return shape(name, threads, null);
  }

  function threadsOf(text) { return number(text.indexOf("/") >= 0 ? text.replace(/-/g, " ") : text).value; }

  function mayBePitch(inches, threadsPerInch) {
    return LEAST_THREADS_PER_INCH <= threadsPerInch && threadsPerInch <= MOST_THREADS_PER_INCH &&
      inches * threadsPerInch >= 1 / COARSEST_SHARE;
  }

  function numberSizeIn(size) { return 0.06 + 0.013 * size; }

  function isNumbered(whole, threads) {
    return [0, 5, 6, 8, 10, 12].indexOf(whole) >= 0 || (threads !== null && mayBePitch(numberSizeIn(whole), threads));
  }

  function fractionName(whole, numerator, denominator, written) {
    while (numerator % 2 === 0 && denominator % 2 === 0) {
      numerator /= 2;
      denominator /= 2;
    }
    if ([2, 4, 8, 16, 32, 64].indexOf(denominator) < 0) {
      throw new QuantityError("'" + shown(written) + "' has " + numerator + "/" + denominator +
        " in it, which is no thread size: write halves to 64ths of an inch, such as 5/16.");
    }
    return (whole ? whole + "-" : "") + numerator + "/" + denominator;
  }

  /* [size, inches] of a size that drawings write in decimals, null where there is none. */
  function decimalName(inches) {
    var parts = Math.floor(inches * 64 + 0.5);
    if (parts % 64 && Math.abs(parts / 64 - inches) <= 0.0006) {
      return [fractionName((parts - (parts % 64)) / 64, parts % 64, 64, ""), parts / 64];
    }
    for (var place = 0; place < NUMBER_SIZES.length; place += 1) {
      if (Math.abs(numberSizeIn(NUMBER_SIZES[place]) - inches) <= 0.0006) {
        return ["No. " + NUMBER_SIZES[place], numberSizeIn(NUMBER_SIZES[place])];
      }
    }
    return null;
  }

  function crossed(whole, other, withCross, written) {
    var isNumberSize = NUMBER_SIZES.indexOf(whole) >= 0 && mayBePitch(numberSizeIn(whole), other);
    if (!withCross && (isNumberSize || (whole <= 6 && mayBePitch(whole, other)))) return null;
    var choices = [];
    if (METRIC_SIZES.indexOf(whole) >= 0) {
      if (other > 0 && other <= COARSEST_SHARE * whole) choices.push(["M" + whole + "x" + other, ""]);
      else choices.push(["M" + whole, " for a bolt " + other + " mm long"]);
    }
    if (isNumberSize) choices.push(["No. " + whole + "-" + other, ""]);
    if (!choices.length) return null;
    return new QuantityError("'" + shown(written) + "' does not say which system: write " +
      either(choices.map(function (choice) { return choice[0] + choice[1]; })) + ".",
      choices.map(function (choice) { return choice[0]; }));
  }

  function bareSize(whole, families, written) {
    var choices = [];
    if (families.length) {
      var family = families.length === 1 ? families[0] : "UNF";
      choices.push("No. " + whole + " " + family);
      if (whole) choices.push(whole + " in " + family);
    } else {
      if (METRIC_SIZES.indexOf(whole) >= 0) choices.push("M" + whole);
      if (NUMBER_SIZES.indexOf(whole) >= 0) choices.push("No. " + whole);
      if (whole <= 16) choices.push(whole + " BA");
      if (whole >= 1 && whole <= 3) choices.push(whole + " in");
      if (whole >= 8 && whole <= 80) choices.push(whole + " tpi");
      if (whole) choices.push(whole + " mm");
    }
    if (!choices.length) return refuse(DESIGNATION, written);
    return new QuantityError("'" + shown(written) + "' does not say enough: write " + either(choices) + ".", choices);
  }

  function either(choices) {
    if (choices.length < 2) return choices[0];
    return choices.slice(0, -1).join(", ") + " or " + choices[choices.length - 1];
  }

  function noThread(rest, families, written) {
    var quoted = shown(written);
    if (families.length === 1 && families[0] === "BA") {
      return new QuantityError("'" + quoted + "' is no BA thread: write a whole number from 0 to 25 before it, such as 2 BA.");
    }
    var match = full("(" + NUMBER + ') ?(?:mm|in|")', "i").exec(rest);
    if (match) {
      var wholeMm = /^[0-9]+$/.test(match[1]) && /mm$/i.test(rest);
      var sizes = wholeMm && METRIC_SIZES.indexOf(Number(match[1])) >= 0 ? ["M" + match[1]] : [];
      return new QuantityError("'" + quoted + "' is a measure, not a thread: write " +
        (sizes.length ? sizes[0] + " if the size is meant" : "a size such as M8x1.25") +
        ", or look it up by diameter and pitch.", sizes);
    }
    match = full("(m ?" + DECIMAL + "|" + NUMBER + '"?)(?: ?x ?| ?- ?| )(' + DECIMAL + ")", "i").exec(rest);
    if (match) {
      var isM = match[1][0].toLowerCase() === "m";
      return new QuantityError("'" + quoted + "' would have " +
        (isM ? "a pitch of " + match[2] + " mm" : match[2] + " threads to the inch") +
        ", which no thread of that size has: write size and pitch, such as " + (isM ? "M8x1.25" : "5/16-24") + ".");
    }
    if (full(DECIMAL).test(rest)) {
      var choices = [point(rest) + " mm", point(rest) + " in"];
      return new QuantityError("'" + quoted + "' does not say enough: write " + either(choices) + ".", choices);
    }
    return refuse(DESIGNATION, written);
  }

  // ---- queries: the one field ---------------------------------------------------------------------------------------

  var QUERY = sort("a size, measure, spanner or mark",
    "what you have, such as 3/8-20, 7.9 mm 24 tpi, 13 spanner, 2 BA, 8.8 or 3 lines");
  var CLASSES = ["3.6", "4.6", "4.8", "5.6", "5.8", "6.6", "6.8", "6.9", "8.8", "9.8", "10.9", "12.9", "14.9"];
  var NUT_CLASSES = [4, 5, 6, 8, 9, 10, 12];
  var SPANNERS_FROM_MM = 4;
  var COARSEST_TYPED_MM = 6;
  var MARK_WORDS = "lines?|dash(?:es)?|bars?|strokes?|dots?|dimples?|notch(?:es)?|nicks?|circles?|rings?|recess(?:ed)?|" +
    "dish(?:ed)?|crosses|stars?|triangles?|arrows?|letters?|marks?|marking|unmarked|blank|plain head";
  var USUAL_METRIC = ["1.6", "2.5", "3.5"].concat(METRIC_SIZES.map(String));
  var USUAL_NUMBERED = NUMBER_SIZES.map(String);
  var USUAL_BA = Array.from({length: 17}, function (_, size) { return String(size); });

  function readQuery(text) {
    var typed = tidy(text, QUERY);
    var readings = [];
    readingsOf(typed).forEach(function (reading) {
      if (!readings.some(function (other) { return other.says === reading.says; })) readings.push(reading);
    });
    if (!readings.length) throw whyNothing(typed);
    return {typed: typed, readings: readings};
  }

  function readingsOf(typed) {
    var plain = typed.toLowerCase();
    var spanner = full("(?:(.+?) ?(?:spanner|wrench|socket|key)s?|(?:spanner|wrench|socket|key) ?(.+))").exec(plain);
    if (spanner) return jaws(spanner[1] || spanner[2]).map(spannerReading);
    if (full(DECIMAL).test(plain)) return bareReadings(plain);
    var readings = strengthReadings(plain).concat(threadReadings(typed));
    if (full(NUMBER + ' ?(?:w|whit|whitworth|bs|ba|af|a/f|(?:mm|in|") ?(?:af|a/f)|across flats)').test(plain)) {
      readings = readings.concat(jaws(plain).map(spannerReading));
    }
    readings = readings.concat(measureReadings(typed));
    if (full(NUMBER + '(?: ?(?:mm|in|"))?').test(plain)) readings = readings.concat(jaws(plain).map(spannerReading));
    readings = readings.concat(refusedThreadReadings(typed));
    if (new RegExp("(?:^|[^a-z])(?:" + MARK_WORDS + ")(?:$|[^a-z])").test(plain)) readings.push(markReading(plain));
    return readings;
  }

  function bareReadings(plain) {
    var value = number(plain);
    var at = point(plain);
    var readings = [];
    if (CLASSES.indexOf(at) >= 0) readings.push(classReading(at), markReading(at));
    if (USUAL_METRIC.indexOf(at) >= 0) readings.push(threadReading(parseDesignation("M" + at), null));
    if (USUAL_NUMBERED.indexOf(at) >= 0) readings.push(threadReading(parseDesignation("No. " + at), null));
    if (at === "5.5" || (value.is_integer && SPANNERS_FROM_MM <= value.value && value.value <= 60)) {
      readings.push(spannerReading(trimmed(value.value, 1) + " mm"));
    }
    if (value.value > 0 && value.value <= 100) readings.push(measureReading(parseLength(at + " mm"), null));
    if (value.value > 0 && value.value <= 4) readings.push(measureReading(parseLength(at + " in"), null));
    barePitches(at).forEach(function (pitch) { readings.push(pitchReading(pitch)); });
    if (USUAL_BA.indexOf(at) >= 0) readings.push(threadReading(parseDesignation(at + " BA"), null));
    if (value.is_integer && value.value >= 3 && value.value <= 14) readings.push(markReading(trimmed(value.value, 0)));
    return readings;
  }

  function threadReadings(typed) {
    var read = orNull(readThread, typed);
    return read === null ? [] : [threadReading(read.thread, read.length === null ? null : parseLength(read.length))];
  }

  /* The threads that a refusal offers: '10x32' is no one thread, and two may be meant. */
  function refusedThreadReadings(typed) {
    try {
      readThread(typed);
    } catch (error) {
      if (!(error instanceof QuantityError)) throw error;
      if (error.byNumber) return [];
      return error.choices.reduce(function (made, choice) { return made.concat(threadReadings(choice)); }, []);
    }
    return [];
  }

  function measureReadings(typed) {
    var readings = [];
    var length = orNull(parseLength, typed);
    var pitch = orNull(parsePitch, typed);
    if (length !== null) readings.push(measureReading(length, null));
    if (pitch !== null && (pitch.threads_per_inch !== null || pitch.pitch_mm <= COARSEST_TYPED_MM)) {
      readings.push(pitchReading(pitch));
    }
    if (length !== null || pitch !== null) return readings;
    var pattern = / ?[,x@] ?| /g;
    var match;
    while ((match = pattern.exec(typed)) !== null) {
      readings = readings.concat(besides(typed.slice(0, match.index), typed.slice(match.index + match[0].length)));
    }
    return readings;
  }

  function besides(left, right) {
    var count = orNull(parsePitch, left);
    var swapped = count !== null && count.threads_per_inch !== null;
    var readings = [];
    diameters(swapped ? right : left).forEach(function (diameter) {
      pitchesBeside(swapped ? left : right).forEach(function (pitch) {
        // A pitch is between a fiftieth and three tenths of the diameter in every thread that is in use.
        if (0.02 * diameter.mm <= pitch.pitch_mm && pitch.pitch_mm <= 0.3 * diameter.mm) {
          readings.push(measureReading(diameter, pitch));
        }
      });
    });
    return readings;
  }

  function diameters(text) {
    var length = orNull(parseLength, text);
    if (length !== null) return [length];
    if (!full(DECIMAL).test(text)) return [];
    return ["mm", "in"].map(function (unit) { return orNull(parseLength, text + " " + unit); })
      .filter(function (each) { return each !== null && each.mm <= 4 * MM_PER_INCH; });
  }

  function pitchesBeside(text) {
    var pitch = orNull(parsePitch, text);
    if (pitch !== null) return [pitch];
    return full(DECIMAL).test(text) ? barePitches(text) : [];
  }

  function barePitches(text) {
    var at = point(text);
    var made = [];
    if (Number(at) >= 4 && Number(at) <= 80 && /^[0-9]+(?:\.5)?$/.test(at)) made.push(parsePitch(at + " tpi"));
    if (Number(at) >= 0.2 && Number(at) <= COARSEST_TYPED_MM) made.push(parsePitch(at + " mm"));
    return made;
  }

  function strengthReadings(plain) {
    var readings = [];
    var match = full("(?:iso |property )?(?:class )?([0-9]{1,2}\\.[0-9])").exec(plain);
    if (match && CLASSES.indexOf(match[1]) >= 0) readings.push(classReading(match[1]));
    match = full("(?:sae |j429 )?(?:grade|gr\\.?|sae|j429) ?([1-8](?:\\.[12])?)").exec(plain);
    if (match) readings.push(strengthReading("the strength grade SAE " + match[1], "SAE " + match[1]));
    match = full("(?:nut )?class ([0-9]{1,2})(?: nut)?|nut ([0-9]{1,2})").exec(plain);
    if (match && NUT_CLASSES.indexOf(Number(match[1] || match[2])) >= 0) {
      var name = "nut class " + (match[1] || match[2]);
      readings.push(strengthReading("the strength " + name, name));
    }
    match = full("([ac][1-5])(?:[ -]?([0-9]{2,3}))?").exec(plain);
    if (match) {
      var text = match[1].toUpperCase() + (match[2] ? "-" + match[2] : "");
      if (match[2]) readings.push(strengthReading("the strength class " + text, text));
      readings.push(markReading(text));
    }
    match = full("(?:(bs|british) )?(?:letter |grade )?([abprstvxy])").exec(plain);
    if (match) {
      var letter = match[2].toUpperCase();
      readings.push(strengthReading("the strength grade BS " + letter, "BS " + letter), markReading(letter));
    }
    return readings;
  }

  /* Markings of the spanners a text may name. */
  function jaws(text) {
    var match = full("(" + NUMBER + ') ?(mm|in|")? ?(af|a/f|across flats|w|whit|whitworth|bsw|bs|bsf|ba)?').exec(text);
    var size = match ? orNull(number, match[1]) : null;
    if (size === null) return [];
    var kind = match[3] || "";
    if (kind === "ba") {
      return size.is_integer && match[2] === undefined && size.value <= 16 ? [size.value + "BA"] : [];
    }
    var british = kind[0] === "w" || kind.slice(0, 2) === "bs";
    if (match[2] === "mm" || (!size.is_fraction && !british)) return millimetreJaws(size, match[2]);
    var name = jawName(size);
    if (name === null) return [];
    var made = [];
    if (kind === "" || kind[0] === "a") made.push(name + " AF");
    if (kind === "" || kind[0] === "w" || kind === "bsw") made.push(name + "W");
    if (kind === "" || kind === "bs" || kind === "bsf") made.push(name + "BS");
    return made;
  }

  function millimetreJaws(size, unit) {
    if (size.is_fraction) return [];
    if (unit !== "mm" && size.value < SPANNERS_FROM_MM) return size.is_integer && size.value > 0 ? [size.value + " AF"] : [];
    var halves = Math.floor(size.value * 10 + 0.5) % 5 === 0;
    return (unit === undefined || unit === "mm") && size.value <= 60 && halves ? [trimmed(size.value, 1) + " mm"] : [];
  }

  function jawName(size) {
    if (!size.is_fraction && !size.is_integer) return null;
    if (!(size.value > 0 && size.value <= 4) || 64 % size.denominator) return null;
    return formatInch(size.value * MM_PER_INCH).replace(/ in$/, "");
  }

  function reading(kind, says, parts) {
    var made = {kind: kind, says: says, thread: null, length: null, pitch: null, spanner: null, strength: null, mark: null};
    Object.keys(parts).forEach(function (key) { made[key] = parts[key]; });
    return made;
  }

  function threadReading(thread, length) {
    var says = "the thread " + thread.text + (length === null ? "" : ", " + said(length) + " long");
    return reading("thread", says, {thread: thread, length: length});
  }

  function measureReading(length, pitch) {
    if (pitch === null) return reading("measure", "a measure of " + said(length), {length: length});
    return reading("measure", said(length) + " across the thread at " + saidPitch(pitch), {length: length, pitch: pitch});
  }

  function pitchReading(pitch) { return reading("pitch", "a pitch of " + saidPitch(pitch), {pitch: pitch}); }
  function spannerReading(marking) { return reading("spanner", "a spanner marked " + marking, {spanner: marking}); }
  function classReading(name) { return strengthReading("the strength class " + name, name); }
  function strengthReading(says, name) { return reading("strength", says, {strength: name}); }
  function markReading(text) { return reading("mark", "the mark '" + text + "'", {mark: text}); }

  function said(length) {
    var text = length.system === "inch" ? formatInch(length.mm) : formatMm(length.mm);
    return length.tolerance_mm === null ? text : text + " ±" + formatMm(length.tolerance_mm);
  }

  function saidPitch(pitch) {
    return pitch.threads_per_inch === null ? formatMm(pitch.pitch_mm) : trimmed(pitch.threads_per_inch, 3) + " tpi";
  }

  function orNull(parse, text) {
    try {
      return parse(text);
    } catch (error) {
      if (error instanceof QuantityError) return null;
      throw error;
    }
  }

  /* The most telling refusal: a zero denominator rather than 'not a thread'. */
  function whyNothing(typed) {
    var telling = null;
    [[parseLength, LENGTH], [parseDesignation, DESIGNATION]].forEach(function (pair) {
      try {
        pair[0](typed);
      } catch (error) {
        if (!(error instanceof QuantityError)) throw error;
        if (telling === null && error.message !== refuse(pair[1], typed).message) telling = error;
      }
    });
    return telling || refuse(QUERY, typed);
  }

  window.decoderQuantities = {
    QuantityError: QuantityError,
    parseLength: parseLength, parsePitch: parsePitch, parseTorque: parseTorque, parseTemperature: parseTemperature,
    parseAngle: parseAngle, parseCount: parseCount, parseDesignation: parseDesignation, readQuery: readQuery,
    formatMm: formatMm, formatInch: formatInch, formatLength: formatLength, formatPitch: formatPitch,
    formatTorque: formatTorque, trimmed: trimmed, shown: shown, formatTemperature: formatTemperature, formatAngle: formatAngle, canonical: canonical,
    slug: slug,
  };
})();
