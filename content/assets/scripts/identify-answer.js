/*
 * Draws the answer of the identify page: verdict, strength, what to do next, candidates, warnings.
 *
 *   decoderAnswerView.build(about, does) → view
 *     about  {index, quantities, base: address of the site's root, slug: designation → page}
 *     does   .go(question, given)   opens a question; `given` is a known part to try, or null
 *            .cannot(question)      that observation cannot be made
 *            .again()               draw the last answer anew
 *   view.show(answer, context)   context {said: [{question, observes: [key], text, isRefused}], vehicle: its part or null,
 *                                vehicleTitle, kind, spanner: {marking, slug} where it is all there is, marks: [{id, title}], numbers: whether figures are shown}
 *   view.next(ranked, context)   what to observe next, best first; drawn after the answer
 *   view.refuse(message)         where nothing can be said
 *   view.short(answer) → the answer in a few words, for a strip and the keypad      .isMeasured(answer)
 *   view.whereOn(context, {designation, joints: [id]}) → the joints of the context's vehicle with that thread
 *   view.reset()                 forget what was unfolded
 */
(function () {
  "use strict";

  var SHOWN = 3;
  var SHOWN_WARNINGS = 3;
  var SHOWN_SORTS = 6;
  var SHOWN_JOINTS = 4;

  /** How full the sign beside a word is: told by shape, not by colour. */
  var LEVELS = {"almost certain": 4, "likely": 3, "could be": 2, "unlikely": 1, "cannot tell": 0};

  /** Warnings where someone can be hurt, or a part spoilt, by going on: they stand before the candidates. */
  var STOP = ["brake-pipe", "loose-wheel-nut", "loose-fit-proves-nothing", "do-not-force", "wheel-seat", "castellated-nut", "safety", "stainless", "half-inch-12-13"];

  /** Words of the kinds of joint that a kind of part belongs to. */
  var SORTS = {
    "union": /pipe union|hose to/i, "banjo bolt": /banjo/i, "bleed screw": /bleed/i, "wheel nut": /wheel nuts|centre-lock|spare wheel/i,
    "wheel bolt": /wheel nuts|centre-lock|spare wheel/i, "spark plug": /spark/i, "grease nipple": /grease/i, "plug": /drain plug/i,
  };

  /** True of any part: after everything else. */
  var GENERAL = ["marks-give-no-thread", "colour-is-not-grade"];

  var make = window.decoderElements.make;
  var button = window.decoderElements.button;
  var write = window.decoderElements.write;

  function build(about, does) {
    var index = about.index;
    var quantities = about.quantities;
    var places = {};
    ["from", "verdict", "strength", "odd", "stop", "next", "candidates", "none-of-these", "warnings", "more-candidates"].forEach(function (id) {
      places[id] = document.getElementById(id);
    });
    var opened = {};
    var all = false;
    var last = null;

    function link(address, text, className) { return window.decoderElements.link(about.base + address, text, className); }

    function clear(place) {
      place.textContent = "";
      return place;
    }

    function level(words) {
      var made = make("span", "level");
      made.setAttribute("aria-hidden", "true");
      for (var step = 1; step <= 4; step += 1) made.appendChild(make("i", step <= LEVELS[words] ? "on" : ""));
      return made;
    }

    function percent(probability) {
      if (probability > 0.995) return "over 99 %";
      if (probability < 0.005) return "under 1 %";
      return Math.round(100 * probability) + " %";
    }

    function isMeasured(answer) {
      var said = index.texts.certainty;
      return answer.certainty.text !== said.nothing && answer.certainty.text !== said.nothing_bore;
    }

    function short(answer) {
      if (!isMeasured(answer)) return "Nothing measured yet";
      if (answer.contradiction) return "These contradict each other";
      var best = answer.candidates[0];
      var words = answer.certainty.words;
      if (!best || answer.none_of_these > best.probability) return "None of these threads, or a wrong reading";
      if (words === "could be") return best.designation + " or " + answer.candidates[1].designation;
      return words === "cannot tell" ? "Cannot tell yet" : best.designation + ", " + words;
    }

    // ---- what was said, the verdict, the strength -----------------------------------------------------------------

    function showFrom(said, answer) {
      var odd = answer.contradiction && answer.contradiction.odd_one_out;
      clear(places.from);
      said.forEach(function (one) {
        var isOdd = Boolean(odd) && one.observes.indexOf(odd) >= 0;
        var isWrong = isOdd || one.isRefused;
        var made = button((isWrong ? "✕ " : "") + one.text, function () { does.go(one.question, null); }, "said" + (isWrong ? " odd" : ""),
          "Change: " + one.text + (isOdd ? " (the odd one out)" : ""));
        places.from.appendChild(made);
      });
    }

    function showVerdict(answer, context) {
      var words = isMeasured(answer) ? answer.certainty.words : "cannot tell";
      clear(places.verdict);
      places.verdict.className = "verdict" + (words === "cannot tell" || answer.contradiction ? " unsure" : words === "could be" ? " open" : "");
      places.verdict.appendChild(level(words));
      places.verdict.appendChild(write(make("span"), answer.certainty.text));
      clear(places.strength);
      places.strength.appendChild(make("strong", "", "Strength"));
      places.strength.appendChild(make("span", "", answer.strength_text));
      places.strength.className = "strength" + (answer.strength ? " claimed" : "");
      // A washer or a wood screw has no mark that could be asked for.
      places.strength.hidden = !answer.candidates.length && !answer.strength && !context.marks.length;
      context.marks.forEach(function (mark) {
        places.strength.appendChild(link("head-marks/" + mark.id + "/", "More on this mark: " + mark.title, "onward"));
      });
      showOdd(answer.contradiction);
    }

    function showOdd(contradiction) {
      places.odd.hidden = !contradiction;
      if (!contradiction) return;
      clear(places.odd).appendChild(write(make("p"), contradiction.text));
      if (contradiction.odd_one_out) {
        places.odd.appendChild(button("Look at it again", function () { does.go(contradiction.odd_one_out, null); }));
      }
    }

    // ---- candidates -----------------------------------------------------------------------------------------------

    function tpiOf(candidate) {
      return index.threads.tpi[index.threads.designation.indexOf(candidate.designation.replace(/ LH$/, ""))] || null;
    }

    function item(candidate, context, isFirst) {
      var made = make("li");
      var head = make("div", "candidate-head");
      var words = make("span", "words", candidate.words + (context.numbers ? ", " + percent(candidate.probability) : ""));
      head.appendChild(link("sizes/" + about.slug(candidate.designation) + "/", candidate.designation));
      words.insertBefore(level(candidate.words), words.firstChild);
      head.appendChild(words);
      made.appendChild(head);
      made.appendChild(bar(candidate.probability));
      var tpi = tpiOf(candidate);
      made.appendChild(make("p", "basis", quantities.formatLength(candidate.major_mm, tpi ? "inch" : "metric") + " across the thread, " +
        quantities.formatPitch(candidate.pitch_mm, tpi)));
      var why = reasons(candidate, isFirst);
      made.appendChild(why);
      if (context.vehicle && (isFirst || candidate.words !== "unlikely")) made.appendChild(whereOn(context, candidate));
      if (!context.vehicle && isFirst && document.getElementById("vehicle")) {
        made.appendChild(button("Where does it go? Say which vehicle", function () { does.go("vehicle", null); }, "chip"));
      }
      // One fold for each of the others keeps the list short.
      sortsOf(isFirst ? made : why, candidate, context, isFirst);
      return made;
    }

    function bar(probability) {
      var made = make("meter");
      made.max = 1;
      made.value = probability;
      made.setAttribute("aria-hidden", "true");
      return made;
    }

    function reasons(candidate, isFirst) {
      var fold = make("details", "why");
      fold.open = opened[candidate.designation] === undefined ? isFirst : opened[candidate.designation];
      var counts = candidate.for.length + " for, " + candidate.against.length + " against";
      var summary = make("summary", "", "Why: " + counts);
      summary.addEventListener("click", function () { opened[candidate.designation] = !fold.open; });
      fold.appendChild(summary);
      var list = make("ul", "reasons");
      candidate.for.forEach(function (text) { list.appendChild(reason("for", text)); });
      candidate.against.forEach(function (text) { list.appendChild(reason("against", text)); });
      if (!list.firstChild) list.appendChild(make("li", "", "Nothing that was observed speaks for it more than for others."));
      fold.appendChild(list);
      return fold;
    }

    function reason(side, text) {
      var made = make("li", side);
      made.appendChild(make("span", "unseen", side === "for" ? "For: " : "Against: "));
      write(made, text);
      return made;
    }

    /** Kinds of joint whose page names such a thread as usual. */
    function sortsOf(place, candidate, context, isFolded) {
      var designation = candidate.designation.replace(/ LH$/, "");
      var sorts = Array.from(document.querySelectorAll("#joint-sorts [data-threads]")).filter(function (sort) {
        return sort.dataset.threads.split("|").indexOf(designation) >= 0;
      });
      // Who said what kind it is looks for joints of that kind.
      var own = SORTS[context.kind];
      if (own) sorts = sorts.filter(function (sort) { return own.test(sort.textContent); });
      if (!sorts.length) return;
      var words = "Usual in: " + sorts.slice(0, 2).map(function (sort) { return sort.textContent.trim(); }).join(", ") +
        (sorts.length > 2 ? " and " + (sorts.length - 2) + " more" : "");
      if (isFolded) {
        var fold = make("details", "sorts");
        fold.appendChild(make("summary", "", words));
        place.appendChild(fold);
        place = fold;
      }
      place.appendChild(make("p", "hint", "Joints whose page names this thread as usual there. That says what was met, not what yours has."));
      var list = make("ul", "links");
      function fill(some) { some.forEach(function (sort) { list.appendChild(sort.cloneNode(true)); }); }
      fill(sorts.slice(0, SHOWN_SORTS));
      place.appendChild(list);
      if (sorts.length <= SHOWN_SORTS) return;
      place.appendChild(button("Show all " + sorts.length, function (event) {
        fill(sorts.slice(SHOWN_SORTS));
        event.target.remove();
        list.children[SHOWN_SORTS].querySelector("a").focus();
      }));
    }

    function whereOn(context, candidate) {
      var vehicle = context.vehicle;
      var designation = candidate.designation.replace(/ LH$/, "");
      var joints = vehicle.joints.filter(function (joint) {
        return candidate.joints.indexOf(joint.id) >= 0 || joint.threads.indexOf(designation) >= 0;
      });
      var made = make("div", "where");
      if (!joints.length) {
        made.appendChild(make("p", "", "On " + context.vehicleTitle + ": no joint in its records uses it. Records have gaps."));
        return made;
      }
      made.appendChild(make("p", "", "Where it goes on " + context.vehicleTitle + ":"));
      var list = make("ul", "links");
      joints.slice(0, SHOWN_JOINTS).forEach(function (joint) {
        var parts = joint.id.split("/");
        var entry = make("li");
        entry.appendChild(link("vehicles/" + parts[0] + "/" + parts[1] + "/#" + parts[2],
          joint.title + (joint.count > 1 ? ", " + joint.count + " of them" : "")));
        list.appendChild(entry);
      });
      made.appendChild(list);
      if (joints.length > SHOWN_JOINTS) {
        made.appendChild(link("vehicles/" + vehicle.vehicle + "/sizes/#" + about.slug(designation), "All " + joints.length + " joints that use it", "onward"));
      }
      return made;
    }

    function showCandidates(answer, context) {
      var likely = answer.candidates.filter(function (candidate) { return candidate.words !== "unlikely"; }).length;
      var most = all ? answer.candidates.length : Math.max(SHOWN, Math.min(likely, 5));
      var measured = isMeasured(answer);
      clear(places.candidates);
      places.candidates.hidden = !measured;
      places["none-of-these"].hidden = !measured || !answer.candidates.length;
      places["more-candidates"].hidden = !measured || answer.candidates.length <= most;
      if (!measured) return;
      answer.candidates.slice(0, most).forEach(function (candidate, at) {
        places.candidates.appendChild(item(candidate, context, at === 0 && answer.certainty.words !== "cannot tell"));
      });
      var none = answer.none_of_these;
      var words = none >= 0.5 ? "likely" : none >= 0.1 ? "could be" : "unlikely";
      // What is unlikely is no news; who asks for the numbers gets it.
      if (words === "unlikely" && !context.numbers) places["none-of-these"].hidden = true;
      clear(places["none-of-these"]).appendChild(make("span", "", "None of these threads: " + words + (context.numbers ? ", " + percent(none) : "") + "."));
    }

    // ---- warnings -------------------------------------------------------------------------------------------------

    function warningItem(warning, className) {
      var pair = warning.designations || [];
      var made = make("div", className + (pair.length === 2 ? " lookalike" : ""));
      made.appendChild(write(make("p"), warning.text));
      if (pair.length === 2) {
        made.appendChild(link("look-alikes/", "Look-alikes: how " + pair[0] + " and " + pair[1] + " differ", "onward"));
      }
      return made;
    }

    function isAboutThis(warning) { return (warning.designations || []).length < 2 && GENERAL.indexOf(warning.code) < 0; }

    /** What a spanner says by itself comes before all that follows from nothing else, with its page. */
    function spannerItem(warning, spanner) {
      var made = warning ? warningItem(warning, "caution") : make("div");
      made.appendChild(link("spanners/" + spanner.slug + "/", "What else a " + spanner.marking + " spanner fits", "onward"));
      return made;
    }

    function showWarnings(answer, context) {
      var spanner = context.spanner && answer.warnings.filter(function (warning) { return warning.code === "spanner-alone"; })[0];
      var stop = answer.warnings.filter(function (warning) { return STOP.indexOf(warning.code) >= 0; });
      // What is about this very part and reading comes before pairs that look alike.
      var others = answer.warnings.filter(function (warning) { return STOP.indexOf(warning.code) < 0 && warning !== spanner; });
      var rest = others.filter(isAboutThis).concat(others.filter(function (warning) { return !isAboutThis(warning); }));
      clear(places.stop);
      stop.forEach(function (warning) { places.stop.appendChild(warningItem(warning, "danger")); });
      if (context.spanner) places.stop.appendChild(spannerItem(spanner, context.spanner));
      clear(places.warnings);
      rest.slice(0, SHOWN_WARNINGS).forEach(function (warning) { places.warnings.appendChild(warningItem(warning, "caution")); });
      if (rest.length <= SHOWN_WARNINGS) return;
      var fold = make("details");
      fold.appendChild(make("summary", "", rest.length - SHOWN_WARNINGS + " more to know"));
      rest.slice(SHOWN_WARNINGS).forEach(function (warning) { fold.appendChild(warningItem(warning, "caution")); });
      places.warnings.appendChild(fold);
    }

    // ---- what to do next ------------------------------------------------------------------------------------------

    function showNext(ranked, context) {
      var answer = last;
      var isSure = answer && answer.certainty.words === "almost certain";
      var best = ranked[0];
      clear(places.next);
      places.next.hidden = !answer || !best && (isSure || !isMeasured(answer) || !answer.candidates.length || Boolean(answer.contradiction));
      if (places.next.hidden) return;
      places.next.classList.toggle("quiet", Boolean(isSure));
      if (!best) {
        places.next.appendChild(write(make("p"), endWords(answer)));
        return;
      }
      // The index writes 'do this: a would mean b, c would mean d'.
      var at = best.how.lastIndexOf(": ");
      places.next.appendChild(make("h3", "", isSure ? "To be surer" : "Next"));
      places.next.appendChild(write(make("p", "do"), at < 0 ? best.how : best.how.slice(0, at) + "."));
      if (at >= 0 && isMeasured(answer)) places.next.appendChild(write(make("p", "expect"), best.how.slice(at + 2, at + 3).toUpperCase() + best.how.slice(at + 3)));
      if (context.numbers) {
        places.next.appendChild(make("p", "expect", "Worth about " + best.bits.toFixed(2) + " bit" + others(ranked)));
      }
      var ends = make("div", "ends");
      ends.appendChild(button("Do that now", function () { does.go(best.observe, best.with); }, "now"));
      ends.appendChild(button("I cannot", function () { does.cannot(best.observe); }));
      places.next.appendChild(ends);
    }

    /** Where nothing is left to look at: what to do with a part that stays one of two. */
    function endWords(answer) {
      var names = answer.candidates.filter(function (candidate) { return candidate.words !== "unlikely"; }).slice(0, 3)
        .map(function (candidate) { return candidate.designation; });
      if (names.length < 2) return "Nothing more that this page can ask for would make it surer.";
      return "With what you can look at, nothing more tells these apart: " + names.join(", ") + ". Go by what it came from. Where that " +
        "is not known and it runs in a nut, fit a new bolt and nut as a pair.";
    }

    function others(ranked) {
      var rest = ranked.slice(1, 4).map(function (step) { return (index.texts.names[step.observe] || step.observe) + " " + step.bits.toFixed(2); });
      return rest.length ? "; then " + rest.join(", ") + "." : ".";
    }

    places["more-candidates"].addEventListener("click", function () {
      all = true;
      does.again();
      // The button is gone; the focus goes to the first that it brought.
      var brought = places.candidates.children[SHOWN];
      if (brought) brought.querySelector("a").focus();
    });

    return {
      short: short,
      isMeasured: isMeasured,
      whereOn: whereOn,
      show: function (answer, context) {
        last = answer;
        showFrom(context.said, answer);
        showVerdict(answer, context);
        showCandidates(answer, context);
        showWarnings(answer, context);
      },
      next: showNext,
      reset: function () {
        all = false;
        opened = {};
      },
      refuse: function (message) {
        last = null;
        ["from", "strength", "stop", "warnings", "candidates"].forEach(function (id) { clear(places[id]); });
        ["odd", "next", "none-of-these", "more-candidates"].forEach(function (id) { places[id].hidden = true; });
        clear(places.verdict).appendChild(make("span", "", message));
        places.verdict.className = "verdict unsure";
      },
    };
  }

  window.decoderAnswerView = {build: build};
})();
