/*
 * Reads what is typed on the identify page. No page code here: text in, values or one sentence out.
 *
 *   decoderReading.make(index, quantities, also) → reading      also: {name of a spanner: the marking that lists it}
 *   reading.diameter(text) .length(text) → {mm, system, tolerance_mm, written}     .pitch(text) → as quantities.parsePitch
 *          .count(text) → number            .spanner(text) → {marking, jaw_mm}       .thread(text) → designation
 *   each throws an error whose `message` is one sentence and whose `choices` are texts that would do instead.
 *
 *   reading.typed(text) → {offers, sure}     what one field for everything may mean; `sure`: all offers are one and the
 *                                            same thing, so the first may be taken, and said; needs identify-told.js
 *     offer {says, put: {key: value}, marks: words, threads: [designation], length: text, grade: name, claims: [mark id],
 *            cautions: [code], unread: text}
 *       put fills fields; marks are words to find marks by; claims are the marks that claim the grade, best supported first; threads are all that the text may name; cautions are
 *       warnings of the index that answer it; unread is what of the text was left over
 *   reading.isFraction(text) → whether a length is written as a fraction, as it is read off a rule
 *   reading.slug(designation) → its page; a left-hand thread has the page of its right-hand twin
 */
(function () {
  "use strict";

  var FIGURES = {1: "one", 2: "two", 3: "three", 4: "four", 5: "five", 6: "six", 7: "seven", 8: "eight"};

  /** Words for kinds that the index knows under another name. */
  var ALSO = {
    "split pin": "pin", "cotter pin": "pin", "clevis pin": "pin", "dowel": "pin", "roll pin": "pin", "cotter": "pin",
    "snap ring": "circlip", "castle nut": "castellated nut", "lug nut": "wheel nut", "set screw": "screw",
    "machine screw": "screw", "self tapper": "self-tapping screw", "woodscrew": "wood screw", "bleed nipple": "bleed screw",
    "bleeder": "bleed screw", "nipple": "grease nipple", "grease fitting": "grease nipple", "brake nut": "union",
    "pipe nut": "union", "tube nut": "union", "flare nut": "union", "sparking plug": "spark plug", "bolts": "bolt",
    "screws": "screw", "nuts": "nut", "washers": "washer", "studs": "stud",
  };

  var BLANK = /^(?:blank|plain|bare|nothing|none|unmarked|no ?marks?|no markings?|plain head|blank head|bare head)$/;

  /** Said round the thing itself: 'nut bore 6.8 mm', 'brake pipe nut M10x1 tight after 6 turns', 'head with three lines'. */
  var BORE = /^(?:nut )?bore(?: of)? (.+)$|^nut (?:of )?([\d.,]+(?: ?(?:mm|in))?)$/;
  var BOUND = /(?:tight|bound|binds?|stuck|jams?|jammed)(?: after| at)? (\d+|one|two|three|four|five|six|seven|eight) turns?$/;
  var THREAD = /\bm ?\d+(?:\.\d+)? ?[x×] ?\d+(?:\.\d+)?|\b\d+(?:-\d+)?\/\d+(?: ?- ?\d+)?(?: ?(?:unf|unc|bsf|bsw|bsc))?/;
  var PIPE = /brake|pipe|union|flare|tube/;
  var BESIDE = ["a", "the", "with", "has", "on", "of", "in", "and", "head", "heads", "bolt", "marked", "mark", "marks"];

  function refusal(message, choices) {
    var error = new Error(message);
    error.choices = choices || [];
    return error;
  }

  function squash(text) {
    return text.toLowerCase().replace(/a\/f/g, "af").replace(/[\s"″”]/g, "");
  }

  function make(index, quantities, also) {
    var columns = index.threads;
    var known = null;
    var told = null;

    /** The reader of words round a measure; its script comes late, and `typed` needs it. */
    function teller() {
      told = told || window.decoderTold.make({index: index, kinds: ALSO, thread: thread});
      return told;
    }

    /** Every thread of the tables with its size and family, read once. */
    function threads() {
      known = known || columns.designation.map(function (designation, at) {
        var read = quantities.parseDesignation(designation);
        return {
          designation: designation, size: read.size, family: read.family, tpi: columns.tpi[at], pitch: columns.pitch[at],
          odds: columns.odds[at],
        };
      });
      return known;
    }

    /*
     * A bare number in a field of its own is read where only one unit can be meant: no thread of the tables is 7.9 in
     * across or has a pitch of 24 mm. What may be either is refused, with both.
     */
    function withUnit(text, small, smallBelow, large, largeFrom) {
      var isBare = /^[0-9]*[.,]?[0-9]+$/.test(text) && !/^[0-9]{1,3}[.,][0-9]{3}$/.test(text);
      var number = isBare ? Number(text.replace(",", ".")) : NaN;
      if (number > 0 && number < smallBelow) return text + " " + small;
      if (number >= largeFrom) return text + " " + large;
      return text;
    }

    function within(read, least, most) {
      if (read.mm >= least && read.mm <= most) return read;
      throw refusal("'" + read.written + "' is " + quantities.formatLength(read.mm) + ", which no fastener has here: " +
        quantities.formatMm(least) + " to " + quantities.formatMm(most) + " can be read.");
    }

    function diameter(text) { return within(quantities.parseLength(withUnit(text, "in", 0.7, "mm", 2.6)), 0.1, 300); }

    function length(text) { return within(quantities.parseLength(withUnit(text, "in", 0.7, "mm", 13)), 0.1, 1000); }

    function pitch(text) {
      var read = quantities.parsePitch(withUnit(text, "mm", 3.6, "tpi", 7));
      if (read.pitch_mm >= 0.05 && read.pitch_mm <= 30) return read;
      throw refusal("'" + text + "' is no pitch of a fastener: write 24 tpi or 1.25 mm.");
    }

    function count(text) {
      var number = Number(text);
      if (/^\d{1,3}$/.test(text) && number >= 2) return number;
      throw refusal("'" + text + "' is no count: write 2 or more, in figures.");
    }

    function spanner(text) {
      var wanted = squash(text);
      wanted = also[wanted] || wanted;
      var found = index.spanners.filter(function (row) {
        var name = squash(row[0]);
        return name === wanted || name === wanted + "mm" || name === wanted + "af" || name === wanted + "w" ||
          name === wanted + "bs" || name === wanted + "ba";
      });
      var exact = found.filter(function (row) { return squash(row[0]) === wanted; });
      if (exact.length === 1) found = exact;
      var choices = found.map(function (row) { return row[0]; });
      if (also[wanted + "bs"]) choices.push(wanted + "BS");
      if (choices.length === 1) return {marking: found[0][0], jaw_mm: found[0][2]};
      if (choices.length) throw refusal("'" + text + "' may be one of these:", choices);
      throw refusal("No spanner is marked '" + text + "' here: write 13 mm, 1/2 AF, 1/4W, 5/16BS or 2BA.");
    }

    function isKnown(marking) {
      try {
        return Boolean(spanner(marking));
      } catch (error) {
        return false;
      }
    }

    /** The designations that a typed thread may be: all that agree with what was said of it, the usual ones first. */
    function threadsOf(said) {
      var found = threads().filter(function (each) {
        if (said.designation) return each.designation === said.designation.replace(/ LH$/, "");
        if (said.families.length && said.families.indexOf(each.family) < 0) return false;
        if (each.size !== said.size) return false;
        if (said.threads_per_inch && each.tpi !== said.threads_per_inch) return false;
        return !said.pitch_mm || Math.abs((each.tpi ? 25.4 / each.tpi : each.pitch) - said.pitch_mm) < 0.001;
      });
      if (said.family === "M" && !said.assumed.length) {
        // The coarse pitch of a metric size is the largest it has (ISO 261).
        found.sort(function (a, b) { return b.pitch - a.pitch; });
        if (said.series === "coarse") found = found.slice(0, 1);
        if (said.series === "fine") found = found.slice(1);
      }
      found.sort(function (a, b) { return b.odds - a.odds; });
      return found.map(function (each) { return each.designation; });
    }

    function thread(text) {
      var said = quantities.parseDesignation(text);
      var found = threadsOf(said);
      if (found.length === 1) return found[0];
      if (found.length) throw refusal("'" + text + "' may be one of these:", found.slice(0, 6));
      throw refusal("No thread of the tables is '" + text + "'.");
    }

    // ---- one field for everything ---------------------------------------------------------------------------------

    function typed(text) {
      var plain = text.trim().toLowerCase();
      var kind = ALSO[plain] || plain;
      if (Object.prototype.hasOwnProperty.call(index.kinds, kind)) {
        return {offers: [{says: kind, put: {kind: kind}}], sure: true};
      }
      if (BLANK.test(plain)) return {offers: [{says: "a head without a mark", put: {head_marks: "none"}}], sure: true};
      if (/^0\d{1,2}\.\d$/.test(plain)) return {offers: [{says: "mark " + plain, marks: plain}], sure: true};
      var offered = toldOf(plain) || teller().worry(plain) || teller().trial(plain);
      if (offered) return {offers: [offered], sure: true};
      var refused = null;
      try {
        return queried(text);
      } catch (error) {
        refused = error;
      }
      var figures = teller().figures(plain);
      var around = teller().around(figures);
      if (around) {
        try {
          return roundedOff(around, refused);
        } catch (error) {
          return picked(figures, around, error);
        }
      }
      try {
        return queried(figures);
      } catch (error) {
        return picked(figures, null, figures === plain ? refused : error);
      }
    }

    /**
     * Several known things in one line: 'M10 8.8', '9.5 mm 14 spanner', 'rusty old wheel nut'. Each that can mean one
     * thing only is taken, and what is left out is said. Refused where nothing is known, or where the words left out may
     * turn the meaning round.
     */
    function picked(text, around, refused) {
      var all = {says: around ? [around.says] : [], put: around ? Object.assign({}, around.put) : {}, left: []};
      var rest = around ? around.rest : text;
      var known = around ? 1 : 0;
      teller().things(rest).forEach(function (thing) {
        if (thing.put) {
          if (!agrees(all.put, thing.put)) return all.left.push(thing.text);
          return taken(thing);
        }
        inWords(thing.text);
      });

      function agrees(put, more) { return Object.keys(more).every(function (key) { return !put[key] || put[key] === more[key]; }); }

      function taken(offered) {
        known += 1;
        all.says.push(offered.says);
        Object.assign(all.put, offered.put || {});
        ["threads", "marks", "grade", "claims"].forEach(function (key) { if (offered[key]) all[key] = offered[key]; });
        all.cautions = (all.cautions || []).concat(offered.cautions || []);
      }

      function inWords(words) {
        var parts = words.split(" ").filter(Boolean);
        for (var from = 0; from < parts.length;) {
          var found = null;
          for (var most = Math.min(parts.length - from, 4); most > 0 && !found; most -= 1) {
            found = alone(parts.slice(from, from + most).join(" "));
            if (found && (!agrees(all.put, found.put || {}) || ["threads", "marks", "claims"].some(function (key) { return all[key] && found[key]; }))) found = null;
            if (found) from += most;
          }
          if (found) taken(found);
          else all.left.push(parts[from++]);
        }
      }

      if (!known || teller().turns(all.left.join(" "))) throw refused;
      var offered = Object.assign(all, {says: all.says.join(", "), unread: all.left.join(" ")});
      if (!offered.cautions || !offered.cautions.length) delete offered.cautions;
      return {offers: [offered], sure: true};
    }

    /** What a piece of a line can mean beside others; null where it is open, or nothing. */
    function alone(piece) {
      var found;
      if (!/\d/.test(piece) && piece.length < 3) return null;
      try {
        found = queried(piece);
      } catch (error) {
        return null;
      }
      var measured = found.offers.filter(function (offered) { return !offered.threads; });
      var named = found.offers.filter(function (offered) { return offered.threads; })[0];
      if (found.sure) return Object.assign({}, named && /[a-z-]/.test(piece) ? {threads: named.threads, length: named.length} : {}, measured[0] || named);
      // What bears its unit is a measure of the thread; a class is a mark.
      if (/(?:mm|in|")$/.test(piece) || /^\d{1,2}\.\d$/.test(piece) && found.offers[0].marks) return found.offers[0];
      return null;
    }

    /** What stands between the words, with what the words say; what cannot be read there is said, not dropped. */
    function roundedOff(around, refused) {
      if (BLANK.test(around.rest)) {
        around.put.head_marks = "none";
        around.says += ", no mark";
        around.rest = "";
      }
      if (!around.rest) return {offers: [{says: around.says, put: around.put}], sure: true};
      var parts = around.rest.split(" ");
      var read = null;
      var unread = "";
      for (var most = parts.length; most > 0 && !read; most -= 1) {
        try {
          read = queried(parts.slice(0, most).join(" "));
          unread = parts.slice(most).join(" ");
        } catch (error) {
          if (most === 1) throw refused;
        }
      }
      // Figures left over are asked for; words left over may turn the meaning round.
      if (/[a-z]{3}|\bin\b./.test(unread)) throw refused;
      read.offers.forEach(function (offered) {
        if (offered.put) offered.put = Object.assign({}, around.put, offered.put);
        else offered.put = around.put;
        offered.says = around.says + ": " + offered.says;
        offered.unread = unread;
      });
      return read;
    }

    function queried(text) {
      var readings = quantities.readQuery(text).readings;
      var kinds = readings.map(function (reading) { return reading.kind; });
      var offers = [];
      readings.forEach(function (reading) { offers = offers.concat(offersOf(reading, kinds)); });
      offers.sort(function (a, b) { return rank(a) - rank(b); });
      if (!offers.length) throw refusal("No thread, spanner or mark of the tables is '" + text + "'.", near(readings));
      return {offers: offers, sure: isOne(readings, kinds)};
    }

    /** Threads of that size and pitch in another family: '1-14 UNF' is filed under UNS. */
    function near(readings) {
      return readings.reduce(function (found, reading) {
        if (reading.kind !== "thread" || !reading.thread.threads_per_inch) return found;
        return found.concat(threads().filter(function (each) {
          return each.size === reading.thread.size && each.tpi === reading.thread.threads_per_inch;
        }).map(function (each) { return each.designation; }));
      }, []);
    }

    /** A bore, or a trial that bound, said in a sentence; null where the text says neither. */
    function toldOf(plain) {
      var bored = BORE.exec(plain);
      if (bored) {
        var bore = diameter(bored[1] || bored[2]);
        return {says: "a nut with a bore of " + quantities.formatLength(bore.mm), put: {kind: "nut", minor_diameter: bore.written}};
      }
      var bound = BOUND.exec(plain);
      var named = bound && THREAD.exec(plain);
      if (!named) return null;
      var turns = Object.keys(FIGURES).filter(function (figure) { return FIGURES[figure] === bound[1]; })[0] || bound[1];
      var put = {trials: [thread(named[0]), "binds", turns].join(";")};
      if (PIPE.test(plain)) put.kind = "union";
      else if (/\bnut\b/.test(plain)) put.kind = "nut";
      return {says: "tried in " + thread(named[0]) + ", tight after " + turns + (turns === "1" ? " turn" : " turns"), put: put};
    }

    /** What is measured first, then names, then what else a measure may be of. */
    function rank(offered) {
      var put = offered.put || {};
      // A strength class is stood on heads; nobody has a bolt of 8.8 mm.
      if (offered.marks && /^\d{1,2}[.,]\d$/.test(offered.marks)) return -1;
      if (put.across_flats || put.length) return 2;
      return put.diameter ? 0 : 1;
    }

    /** All readings speak of one thing: '3/8 20' is a thread by its name and the measure of one. */
    function isOne(readings, kinds) {
      if (readings.length === 1) return true;
      if (kinds.every(function (kind) { return kind === "mark" || kind === "strength"; })) return true;
      var measures = readings.filter(function (reading) { return reading.kind === "measure"; });
      var others = kinds.filter(function (kind) { return kind !== "measure" && kind !== "thread"; });
      return !others.length && measures.length === 1 && measures[0].pitch !== null;
    }

    function offersOf(reading, kinds) {
      if (reading.kind === "measure") return measureOffers(reading);
      if (reading.kind === "pitch") return [{says: reading.says, put: {pitch: reading.pitch.written}}];
      if (reading.kind === "spanner") return isKnown(reading.spanner) ? [{says: "spanner " + reading.spanner, put: {spanner: reading.spanner}}] : [];
      if (reading.kind === "mark") {
        return [{says: "mark " + reading.mark, marks: reading.mark}];
      }
      // A class and the mark that claims it are one thing to see.
      if (reading.kind === "strength") {
        return kinds.indexOf("mark") >= 0 ? [] : [gradeOffer(reading)];
      }
      var found = threadsOf(reading.thread);
      if (!found.length) return [];
      return [{says: reading.says.replace(/^the thread/, "thread named"), threads: found,
        length: reading.length ? reading.length.written : ""}];
    }

    /** A grade by its name: the figure in it is no count of lines, so its marks come from the table of what marks claim. */
    function gradeOffer(reading) {
      var grade = reading.strength;
      var offered = {says: reading.says, grade: grade, put: {}};
      if (/^nut /.test(grade)) offered.put.kind = "nut";
      if (index.unmarked_grades.indexOf(grade) >= 0) {
        offered.put.head_marks = "none";
        offered.cautions = ["no-mark-no-strength"];
        offered.says += ", which has a blank head, as much else has";
        return offered;
      }
      offered.claims = marksOf(grade);
      return offered;
    }

    /** Marks that claim a grade: the well supported ones alone where there are any. */
    function marksOf(grade) {
      function claimed(firm) {
        return Object.keys(index.marks).filter(function (id) {
          return index.marks[id].claims.some(function (claim) {
            return (claim[0] === grade || claim[0] === grade.replace(/^SAE /, "SAE nut ")) && (!firm || claim[1] === "well supported");
          });
        });
      }
      var firm = claimed(true);
      return firm.length ? firm : claimed(false);
    }

    function measureOffers(reading) {
      var written = reading.length.written;
      if (reading.pitch) {
        return [{says: reading.says, put: {diameter: written, pitch: reading.pitch.written}}];
      }
      var said = reading.says.replace(/^a measure of /, "");
      var offers = [
        {says: said + " across the thread", put: {diameter: written}},
        {says: said + " across the flats", put: {across_flats: written}},
        {says: said + " long", put: {length: written}},
      ];
      if (reading.length.mm < 4) offers.splice(1, 1);
      return reading.length.mm > 60 ? offers.reverse() : offers;
    }

    function slug(designation) { return quantities.slug(designation).replace(/-lh$/, ""); }

    return {
      diameter: diameter, length: length, pitch: pitch, count: count, spanner: spanner, thread: thread, typed: typed,
      isFraction: isFraction, slug: slug,
    };
  }

  function isFraction(text) {
    return /[\/¼-¾⅐-⅞⁄]/.test(text || "");
  }

  /** Words by which a mark is found: figures as words, plurals as one. */
  function markWords(text) {
    var all = text.toLowerCase().replace(/radial/g, "").split(/\s+/).filter(Boolean);
    var telling = all.filter(function (word) { return BESIDE.indexOf(word) < 0; });
    return (telling.length ? telling : all).map(function (word) {
      return (FIGURES[word] || word).replace(/^dashes$/, "dash").replace(/^(line|bar|dot|ring|circle|letter|notch)s$/, "$1");
    });
  }

  window.decoderReading = {make: make, markWords: markWords};
})();
