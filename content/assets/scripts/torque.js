/*
 * Works out the torque that follows from a bolt's size and grade, with the tables and sentences of data/torque.js: the
 * twin of `decoder torque` (decoder.tightening, decoder.loads). The same question gives the same numbers and the same
 * words, held together by tests/browser/test_torque_parity.py, so a change here is a change there. No page code here.
 *
 *   decoderTorque.load(data, quantities) → torque
 *   torque.answer({size, strength, nut, finish, lubricant, reused, into, engagement, joint}) → the result of
 *                 `decoder torque --json`; texts as people write them, '' for what was not said
 *         .grade(text, part) .thread(text) → the row that a text means
 *   each throws an error whose `message` is one sentence and whose `choices` are texts that would do instead; `field`
 *   says which of the texts it is about.
 */
(function () {
  "use strict";

  var NM_PER_LBF_FT = 1.3558179483314004;
  var SAME_SIZE_MM = 1e-4;
  var MOST_CHOICES = 12;
  var GRADES = "'SAE 5', '8.8', 'A2-70' or 'BS R'";
  var THREADS = "5/16-24 UNF, M8x1.25 or 2 BA";

  function refusal(message, choices) {
    var error = new Error(message);
    error.name = "TorqueError";
    error.choices = choices || [];
    return error;
  }

  function oneOf(names, quoted) {
    var said = names.map(function (name) { return quoted ? "'" + name + "'" : name; });
    return said.length > 1 ? said.slice(0, -1).join(", ") + " or " + said[said.length - 1] : said.join("");
  }

  function plainName(id) { return id.replace(/-/g, " "); }

  function load(data, quantities) {
    var trimmed = quantities.trimmed;
    var rows = rowsOf(data.threads);

    function say(name, values) {
      return data.texts[name].replace(/\{(\w+)\}/g, function (_, key) { return values[key]; });
    }

    function percent(share) { return trimmed(100 * share, 0) + " %"; }

    // ---- what was written -------------------------------------------------------------------------------------------

    function answers(row, written, families) {
      if (families.length && families.indexOf(row.family) < 0) return false;
      if (written.size !== null && row.size !== written.size) return false;
      if (written.series !== null && (data.series_meant[written.series] || [written.series]).indexOf(row.series) < 0) return false;
      if (written.threads_per_inch !== null && row.tpi !== written.threads_per_inch) return false;
      return written.pitch_mm === null || (row.tpi === null && Math.abs(row.pitch - written.pitch_mm) <= 1e-6);
    }

    function matching(written) {
      var unified = data.families_of[0][1];
      var found = rows.filter(function (row) { return answers(row, written, written.families); });
      var isUnified = written.families.some(function (family) { return unified.indexOf(family) >= 0; });
      // Manuals print '1-14 UNF' for what the standard files under UNS: size and pitch decide.
      if (!found.length && written.threads_per_inch !== null && isUnified) {
        found = rows.filter(function (row) { return answers(row, written, unified); });
      }
      var isMetric = found.every(function (row) { return row.family === "M"; });
      if (found.length > 1 && written.pitch_mm === null && written.series === null && isMetric) {
        var coarse = found.filter(function (row) { return row.series === "coarse"; });
        if (coarse.length) found = coarse;
      }
      return found;
    }

    function choices(found) {
      var ordered = found.slice().sort(function (a, b) {
        return data.likeliest.indexOf(a.family) - data.likeliest.indexOf(b.family);
      }).map(function (row) { return row.designation; });
      if (ordered.length <= MOST_CHOICES) return oneOf(ordered);
      return ordered.slice(0, MOST_CHOICES).join(", ") + " or " + (ordered.length - MOST_CHOICES) + " more";
    }

    function names(found) { return found.map(function (row) { return row.designation; }); }

    /** The one thread that a text means. */
    function thread(text) {
      var written = quantities.parseDesignation(text);
      var found = matching(written);
      if (found.length > 1) throw refusal("'" + text + "' may be " + choices(found) + ": write one of these in full.", names(found));
      if (!found.length) {
        var size = rows.filter(function (row) { return row.size === written.size; });
        var near = size.filter(function (row) { return written.families.indexOf(row.family) >= 0; });
        near = near.length ? near : size;
        if (near.length) throw refusal("'" + text + "' is in no table: that size exists as " + choices(near) + ".", names(near));
        throw refusal("'" + text + "' is in no table: write a thread such as " + THREADS + ".");
      }
      if (!written.left_hand) return found[0];
      var turned = Object.create(found[0]);
      turned.designation = found[0].designation + " LH";
      return turned;
    }

    function standardOf(grade) {
      return data.families_of.filter(function (each) { return grade.standard.indexOf(each[0]) === 0; })[0];
    }

    /** The thread for a grade: where several families share a size, the one that the grade's standard is for. */
    function threadFor(text, grade) {
      try {
        return {row: thread(text), readAs: []};
      } catch (error) {
        var pair = standardOf(grade);
        var meant = (error.choices || []).filter(function (name) {
          return pair && pair[1].indexOf(name.slice(name.lastIndexOf(" ") + 1)) >= 0;
        });
        if (meant.length !== 1) throw error;
        var values = {written: quantities.shown(text), thread: meant[0], standard: grade.standard};
        return {row: rows.filter(function (row) { return row.designation === meant[0]; })[0], readAs: [say("read_as", values)]};
      }
    }

    /** A grade reduced to what tells it apart: no spaces or dashes, 'gr' and 'grade' the same, comma as point. */
    function asWritten(text) {
      var words = text.toLowerCase().replace(/,/g, ".").replace(/\bgr\b\.?|\bgr(?=\d)/g, "grade ");
      words = words.replace(/\b(property|strength)\s+class\b/g, "class");
      return words.replace(/[^a-z0-9.]/g, "").replace(/^\.+|\.+$/g, "");
    }

    function grade(text, part) {
      var writing = asWritten(text);
      var shown = text.trim().slice(0, 60);
      function isFor(each) { return !part || each.part === part; }
      function written(as) {
        return data.grades.filter(function (each) { return isFor(each) && each.writings.indexOf(as) >= 0; });
      }
      if (!writing) throw refusal("No grade was given: write one such as " + GRADES + ".");
      if (data.no_mark.indexOf(writing) >= 0) {
        throw refusal("'" + shown + "' is no grade: a head without a mark says nothing about strength, so write one that a parts list or a mark gives.");
      }
      var found = written(writing);
      if (!part && found.length > 1) {
        // A bare grade is a bolt's: nuts are asked for as nuts.
        var bolts = found.filter(function (each) { return each.part === "bolt"; });
        if (bolts.length) found = bolts;
      }
      if (found.length === 1) return found[0];
      if (!found.length && part) {
        found = written(part + writing);
        if (found.length === 1) return found[0];
      }
      function gradeNames(list) { return list.map(function (each) { return each.name; }); }
      if (found.length) throw refusal("'" + shown + "' can be several grades: write " + oneOf(gradeNames(found), true) + ".", gradeNames(found));
      var ending = new RegExp("^[a-z]*" + writing.replace(/\./g, "\\.") + "[a-z]?$");
      var ends = gradeNames(data.grades.filter(function (each) {
        return isFor(each) && each.writings.some(function (as) { return ending.test(as); });
      }));
      if (ends.length) throw refusal("'" + shown + "' alone is no grade: write " + oneOf(ends, true) + ".", ends);
      throw refusal("'" + shown + "' is no grade of a standard known here: write one such as " + GRADES + ".");
    }

    function lubricant(text) {
      var plain = text.toLowerCase();
      if (new RegExp(data.not_on_the_thread).test(plain)) return "none";
      var found = data.lubricant_words.filter(function (pair) { return new RegExp(pair[0]).test(plain); })[0];
      if (found) return found[1];
      throw refusal("'" + quantities.shown(text) + "' is no lubricant with a known factor: write one of " + oneOf(data.lubricants) + ".", data.lubricants);
    }

    function kindName(text) {
      var words = text.toLowerCase().replace(/[^a-z0-9]+/g, "-").replace(/^-+|-+$/g, "");
      return words.replace(/-?\b(nut|nuts|washer|washers)\b$/, "") || words;
    }

    function kind(list, text, what) {
      var name = kindName(text);
      var found = list.filter(function (each) { return each.names.indexOf(name) >= 0; });
      if (found.length === 1) return found[0];
      var known = (found.length ? found : list).map(function (each) { return plainName(each.id); });
      throw refusal("'" + quantities.shown(text) + "' is no kind of " + what + " known here: write one of " + oneOf(known) + ".", known);
    }

    function material(text) {
      var found = kind(data.materials, text, "material");
      if (found.known) return found;
      var known = data.materials.filter(function (each) { return each.known; }).map(function (each) { return plainName(each.id); });
      throw refusal("no figures were found for threads in '" + quantities.shown(text) + "': write one of " + oneOf(known) + ".", known);
    }

    function joint(text) {
      var asked = text.trim().toLowerCase().replace(/ /g, "-");
      var found = data.joints.filter(function (each) { return each[0] === asked; })[0];
      if (found) return found;
      throw refusal("'" + quantities.shown(text) + "' is no kind of joint: the kinds are the files of joint-kinds.");
    }

    // ---- the torque -------------------------------------------------------------------------------------------------

    function rowAt(grade, major) {
      return grade.rows.filter(function (row) {
        return row.from - SAME_SIZE_MM <= major && major <= row.to + SAME_SIZE_MM;
      })[0] || null;
    }

    function isCited(place) { return data.documents[data.places[place][0]] !== null; }

    function whatItHas(row) {
      var stresses = [["has_yield", row.yield], ["has_tensile", row.tensile]].filter(function (pair) { return pair[1] !== null; })
        .map(function (pair) { return say(pair[0], {mpa: trimmed(pair[1], 0)}); }).join(" and ");
      return say(isCited(row.place) ? "has" : "has_uncited", {stresses: stresses, document: data.places[row.place][0]});
    }

    function strength(thread, grade) {
      if (data.no_torque_families.indexOf(thread.family) >= 0) throw nothing("pipe_thread", {thread: thread.designation});
      if (grade.part !== "bolt") throw nothing("grade_of_nut", {grade: grade.name});
      var row = rowAt(grade, thread.major);
      if (!row) throw nothing("not_in_size", {grade: grade.name, thread: thread.designation});
      if (row.proof === null) throw nothing("no_proof", {grade: grade.name, has: whatItHas(row)});
      return row;
    }

    /** Why no torque follows: caught by `answer`, which says it. */
    function nothing(name, values) { return {why: name === null ? values : say(name, values)}; }

    function nutLoad(thread, nut) {
      var row = nut && nut.part === "nut" ? rowAt(nut, thread.major) : null;
      return row && row.proof !== null ? row.proof * thread.area : null;
    }

    function preload(thread, proof, asked) {
      var best = data.preload_share * proof;
      var why = "";
      var used = [];
      var byNut = nutLoad(thread, asked.nut);
      if (byNut !== null && data.preload_share * byNut < best) {
        best = data.preload_share * byNut;
        why = say("held_by_nut", {share: percent(data.preload_share)});
      }
      var into = asked.into;
      if (!into) return {n: best, why: why, places: used};
      if (data.soft_metals.indexOf(into.id) >= 0 && data.soft_metal_share * data.preload_share * proof < best) {
        best = data.soft_metal_share * data.preload_share * proof;
        why = say("held_by_soft_metal", {material: plainName(into.id)});
        used.push(data.soft);
      }
      if (into.shear !== null) {
        used = used.concat([data.stripping], into.places);
        var strips = thread.internal * asked.engaged * into.shear;
        if (data.hole_share * strips < best) {
          best = data.hole_share * strips;
          why = say("held_by_hole", {engaged: quantities.formatMm(asked.engaged, 1), material: plainName(into.id)});
        }
      }
      return {n: best, why: why, places: used};
    }

    function working(thread, row, force, friction) {
      var kilo = trimmed(force.n / 1000, 2);
      var perK = force.n * thread.major / 1000;
      return [
        say("working_proof", {
          area: trimmed(thread.area, 2), proof_mpa: trimmed(row.proof, 0), proof_kn: trimmed(row.proof * thread.area / 1000, 2),
        }),
        say(force.why ? "working_held" : "working_force", {force_kn: kilo, share: percent(data.preload_share)}),
        say("working_torque", {
          low: String(friction.low), high: String(friction.high), major: quantities.formatMm(thread.major), force_kn: kilo,
          torque_low: trimmed(friction.low * perK, 1), torque_high: trimmed(friction.high * perK, 1),
        }),
      ];
    }

    function onIt(lubricant) { return lubricant === "none" ? data.texts.dry : say("lubricated", {lubricant: lubricant}); }

    function assumes(asked, friction) {
      var lines = [
        say(friction.cited ? "formula" : "formula_uncited", {
          low: String(friction.low), high: String(friction.high), finish: plainName(asked.finish.id), on_it: onIt(asked.lubricant),
        }),
        say(asked.reused ? "force_reused" : "force", {share: percent(data.preload_share)}),
        data.texts.rigid,
        data.texts.drag,
      ];
      if (!asked.nut && !asked.into) lines.push(data.texts.strong_nut);
      return lines;
    }

    function engagementNeeded(thread, row, into) {
      var tensile = row.tensile === null ? null : row.tensile * thread.area;
      if (tensile !== null && into.shear !== null) {
        var own = thread.area / (thread.external * data.steel_shear_share);
        var hole = tensile / (thread.internal * into.shear);
        return {mm: Math.max(own, hole), how: say("needed_by_strength", {material: plainName(into.id)})};
      }
      if (into.diameters === null) return null;
      return {
        mm: into.diameters * thread.major,
        how: say("needed_by_rule", {diameters: String(into.diameters), material: plainName(into.id)}),
      };
    }

    function cautions(thread, grade, row, asked, friction) {
      var texts = data.texts;
      var lines = [texts.manual_first, texts.low_end, texts.claim];
      var standard = standardOf(grade);
      if (standard && standard[1].indexOf(thread.family) < 0) {
        lines.push(say("odd_pair", {grade: grade.name, thread: thread.designation}));
      }
      if (asked.reused) lines.push(texts.used_again);
      if (asked.finish.id === "stainless") lines.push(texts.galls);
      if (asked.lubricant !== "none") lines.push(texts.only_with_this);
      else if (friction.high / friction.low > data.wide_band) lines.push(texts.differ_widely);
      var byNut = nutLoad(thread, asked.nut);
      if (byNut !== null && row.tensile !== null && byNut < row.tensile * thread.area) {
        lines.push(say("weaker_nut", {nut: asked.nut.name, grade: grade.name}));
      }
      var needed = asked.into && engagementNeeded(thread, row, asked.into);
      if (needed && asked.engaged < needed.mm) {
        lines.push(say("short_thread", {
          engaged: quantities.formatMm(asked.engaged, 1), material: plainName(asked.into.id),
          needed: quantities.formatMm(needed.mm, 1), how: needed.how,
        }));
      }
      if (!row.minimum && !isCited(row.place)) {
        lines.push(say("uncited_strength", {grade: grade.name, document: data.places[row.place][0]}));
      }
      return lines;
    }

    /** Each document once with its places, in order of first use; what no document carries says so last. */
    function sources(places) {
      var wheres = {};
      var order = [];
      places.forEach(function (place) {
        var document = data.places[place][0];
        var where = data.places[place][1];
        if (!wheres[document]) {
          wheres[document] = [];
          order.push(document);
        }
        if (wheres[document].indexOf(where) < 0) wheres[document].push(where);
      });
      var cited = order.filter(function (document) { return data.documents[document] !== null; });
      var other = order.filter(function (document) { return data.documents[document] === null; }).sort();
      return cited.map(function (document) {
        return [data.documents[document]].concat(wheres[document].filter(Boolean)).join("; ");
      }).concat(other.map(function (document) { return document + ", no document"; }));
    }

    function band(low, high) { return {low: low, high: high}; }

    function tighten(thread, grade, asked, readAs) {
      var row = strength(thread, grade);
      if (asked.finish.id === "stainless" && asked.lubricant === "none") throw nothing("stainless_dry", {});
      if (asked.into && data.soft_metals.indexOf(asked.into.id) >= 0 && asked.engaged < thread.major) {
        throw nothing("too_short", {engaged: quantities.formatMm(asked.engaged, 1), material: plainName(asked.into.id)});
      }
      var friction = asked.finish.factors[asked.lubricant];
      if (!friction) throw nothing("no_factor", {finish: plainName(asked.finish.id), on_it: onIt(asked.lubricant)});
      var proof = row.proof * thread.area;
      var force = preload(thread, proof, asked);
      var perK = force.n * thread.major / 1000;
      var low = friction.low * perK;
      var high = friction.high * perK;
      return {
        proof_load_n: proof,
        preload_n: force.n,
        k: band(friction.low, friction.high),
        torque_nm: band(low, high),
        torque_lbf_ft: band(low * (1 / NM_PER_LBF_FT), high * (1 / NM_PER_LBF_FT)),
        torque_lbf_in: band(low * (12 / NM_PER_LBF_FT), high * (12 / NM_PER_LBF_FT)),
        chart_nm: friction.usual * perK,
        limited_by: force.why,
        why_not: "",
        working: working(thread, row, force, friction),
        assumes: readAs.concat(assumes(asked, friction), force.why ? [force.why] : []),
        cautions: cautions(thread, grade, row, asked, friction),
        sources: sources([thread.place, grade.place, row.place].concat(
          friction.places, data.chart, asked.reused ? [data.reused] : [], force.places)),
      };
    }

    /** What `read` gives; what it refuses is told to be about this field. */
    function of(field, read) {
      try {
        return read();
      } catch (error) {
        error.field = field;
        throw error;
      }
    }

    function answer(said) {
      var about = of("strength", function () { return grade(said.strength); });
      var found = of("size", function () { return threadFor(said.size, about); });
      var asked = {
        finish: of("finish", function () { return kind(data.finishes, said.finish || "plain", "finish"); }),
        lubricant: of("lubricant", function () { return lubricant(said.lubricant || "none"); }),
        nut: of("nut", function () { return said.nut ? grade(said.nut, "nut") : null; }),
        reused: Boolean(said.reused),
        into: of("into", function () { return said.into ? material(said.into) : null; }),
        engaged: of("engagement", function () { return said.engagement ? quantities.parseLength(said.engagement).mm : null; }),
      };
      if (about.stainless && asked.finish.id === "plain") asked.finish = kind(data.finishes, "stainless", "finish");
      if ((asked.into === null) !== (asked.engaged === null)) {
        of("engagement", function () {
          throw refusal("Material and length go together: write what the hole is in and how much thread is in it.");
        });
      }
      var governed = of("joint", function () { return said.joint ? joint(said.joint)[2] : ""; });
      var result = {
        designation: found.row.designation, grade: about.name, finish: asked.finish.id, lubricant: asked.lubricant,
        reused: asked.reused, stress_area_mm2: found.row.area,
      };
      var rest;
      try {
        if (governed) throw nothing(null, governed);
        rest = tighten(found.row, about, asked, found.readAs);
      } catch (error) {
        if (!error.why) throw error;
        rest = {
          proof_load_n: null, preload_n: null, k: null, torque_nm: null, torque_lbf_ft: null, torque_lbf_in: null,
          chart_nm: null, limited_by: "", why_not: error.why + ".", working: [], assumes: [], cautions: [data.texts.manual_first],
          sources: sources([found.row.place, about.place]),
        };
      }
      Object.keys(rest).forEach(function (key) { result[key] = rest[key]; });
      return result;
    }

    return {answer: answer, grade: grade, thread: thread};
  }

  function rowsOf(columns) {
    return columns.designation.map(function (_, at) {
      var row = {};
      Object.keys(columns).forEach(function (name) { row[name] = columns[name][at]; });
      return row;
    });
  }

  window.decoderTorque = {load: load};
})();
