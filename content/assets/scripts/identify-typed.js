/*
 * The one field for everything: what was typed is read, said, and put where it belongs; what may be several things is
 * asked back.
 *
 *   decoderIdentifyTyped.make({state, seen, reading, quantities, marks, rows, putInTub, base, setKind, kindWords, changed, arrive, whereOn,
 *                              spanner, warning, whole})
 *     arrive()   there may be an answer now: show it
 *     whereOn(designation) → its joints on the chosen vehicle, drawn; null where no vehicle is chosen or loaded yet
 *     spanner(text) → {marking, slug} of the index, or null
 *     warning(code) → the text of a warning of the index
 *     whole() → promise, kept when the pictures of marks are in the page or cannot be had
 *   → {read(text), show(): draw anew what depends on the vehicle}
 */
(function () {
  "use strict";

  var MOST_THREADS = 8;

  var elements = window.decoderElements;

  function make(about) {
    var state = about.state;
    var seen = about.seen;
    var line = document.getElementById("typed-read");
    var joints = null;

    function chip(text, pressed) { line.appendChild(elements.button(text, pressed, "chip")); }
    function say(text) { line.appendChild(elements.make("p", "", text)); }

    function read(text) {
      var found;
      line.textContent = "";
      line.classList.remove("refused");
      try {
        found = about.reading.typed(text);
      } catch (error) {
        refuse(error);
        return;
      }
      if (!found.sure) {
        say("Which do you mean?");
        found.offers.forEach(function (offered) { chip(offered.says, function () { take(offered, []); }); });
        return;
      }
      var measured = found.offers.filter(function (offered) { return !offered.threads; });
      take(measured[0] || found.offers[0], found.offers);
    }

    function refuse(error) {
      line.textContent = error.message + " ";
      line.classList.add("refused");
      (error.choices || []).forEach(function (choice) {
        chip(choice, function () {
          document.getElementById("typed").value = choice;
          read(choice);
        });
      });
    }

    /** Where an offer belongs on what this is: of a nut, a diameter is the bore. */
    function place(key) {
      if (key === "diameter" && seen.isBored()) return "minor_diameter";
      return key === "head_marks" ? seen.marksKey() : key;
    }

    function put(fields) {
      if (fields.pitch && seen.isPlain()) ["has_thread", "kind"].forEach(function (key) { state.set(key, ""); });
      if (fields.kind) about.setKind(fields.kind);
      Object.keys(fields).forEach(function (key) { state.set(place(key), fields[key]); });
    }

    /** The few threads that a fraction with a count names: whoever types 3/8 20 means the thread so called. */
    function nameOf(offered, others) {
      var other = others.filter(function (each) { return each.threads && each.threads.length <= 3; })[0];
      return other && offered.put && about.reading.isFraction(offered.put.diameter) ? other.threads.join(" or ") : null;
    }

    /** Puts an offer into the fields it speaks of, and says so, with what else it may have been. */
    function take(offered, others) {
      line.textContent = "";
      var name = nameOf(offered, others);
      if (name) say("By its name: " + name + ". Was it read off a rule? Then say ‘Rule’ under the diameter: it may be another.");
      say("Read as " + offered.says + ".");
      if (offered.unread) {
        say("‘" + offered.unread + "’ was " + (/\d/.test(offered.unread) ? "not read: say below what it measures." : "left out."));
      }
      (offered.cautions || []).forEach(function (code) { line.appendChild(elements.make("p", "danger", about.warning(code))); });
      put(offered.put || {});
      var spanner = offered.put && offered.put.spanner && about.spanner(offered.put.spanner);
      if (spanner) line.appendChild(elements.link(about.base + "spanners/" + spanner.slug + "/", "Page of spanner " + spanner.marking, "chip"));
      if (offered.grade) {
        line.appendChild(elements.link(about.base + "strength/" + about.quantities.slug(offered.grade) + "/", "What " + offered.grade + " claims", "chip"));
      }
      others.forEach(function (other) {
        if (other === offered) return;
        if (other.threads) named(other);
        else chip("No: " + other.says, function () {
          Object.keys(offered.put || {}).forEach(function (key) { state.set(place(key), ""); });
          take(other, others);
        });
      });
      if (offered.threads) named(offered);
      about.changed();
      about.marks.show();
      if (offered.claims) showClaims(offered);
      else if (offered.marks) showMarks(offered.marks);
      else if (offered.grade) about.rows.unfold(about.rows.get("marks"));
      else if (offered.put && !offered.cautions) about.arrive();
    }

    /** Marks that claim a grade: a single one is taken, of several the pictures are shown; never a mark of another grade. */
    function showClaims(offered) {
      about.whole().then(function () { showClaimsThere(offered); });
    }

    function showClaimsThere(offered) {
      var row = about.rows.get("marks");
      var found = about.marks.only(offered.claims);
      about.rows.unfold(row);
      if (found.length === 1) {
        if (state.list(seen.marksKey()).indexOf(found[0]) < 0) about.marks.choose(found[0]);
      } else if (found.length) {
        say(found.length + " marks claim " + offered.grade + ": tap the one you see.");
      } else {
        about.marks.reset();
        about.marks.show();
        say("The tables know no mark for " + offered.grade + " there: say below what you see.");
      }
      row.scrollIntoView({block: "center"});
    }

    /** Marks by words: a single one is taken, of several the pictures are shown. */
    function showMarks(words) {
      about.whole().then(function () { showMarksThere(words); });
    }

    function showMarksThere(words) {
      var row = about.rows.get("marks");
      about.rows.unfold(row);
      var found = about.marks.find(words);
      if (found.length === 1) {
        about.marks.choose(found[0]);
      } else if (found.length) {
        say(found.length + " marks are like that: tap the one you see.");
      } else {
        about.marks.reset();
        about.marks.show();
        say("No mark of the tables reads so: say below what kind it is.");
      }
      row.scrollIntoView({block: "center"});
    }

    /** A thread that is known by name: its page, a trial with it, and into the tub as it is. */
    function named(offered) {
      offered.threads.slice(0, MOST_THREADS).forEach(function (designation) {
        line.appendChild(elements.link(about.base + "sizes/" + about.reading.slug(designation) + "/", "Page of " + designation, "chip"));
      });
      joints = {place: line.appendChild(elements.make("div", "joints-of-it")), threads: offered.threads.slice(0, MOST_THREADS)};
      showJoints();
      if (offered.threads.length !== 1) return;
      var designation = offered.threads[0];
      chip("I tried one on", function () {
        state.set("trial_with", designation);
        about.changed();
        about.rows.ask(about.rows.get("trials"));
      });
      chip("Put it in the tub", function (event) {
        var row = {
          designation: designation, kind: about.kindWords(), length: offered.length || "", marks: "", quantity: 1, note: "by its name, not measured",
        };
        about.putInTub(row, function (done) {
          event.target.textContent = done ? "In the tub: " + done.words : "Not in the tub: no network";
        });
      });
    }

    /** Where a thread that was named goes on the chosen vehicle; asks for the vehicle where none is chosen. */
    function showJoints() {
      if (!joints || !joints.place.isConnected) return;
      joints.place.textContent = "";
      var select = document.getElementById("vehicle");
      if (!select) return;
      if (!state.values.vehicle) {
        joints.place.appendChild(elements.button("Where does it go? Say which vehicle", function () {
          joints.isAsked = true;
          about.rows.ask(about.rows.get("vehicle"));
        }, "chip"));
        return;
      }
      joints.threads.forEach(function (designation) {
        var drawn = about.whereOn(designation);
        if (!drawn) return;
        if (joints.threads.length > 1) drawn.insertBefore(elements.make("strong", "", designation), drawn.firstChild);
        joints.place.appendChild(drawn);
      });
      // Whoever was sent down to name the vehicle is brought back to what it was named for.
      if (joints.isAsked && joints.place.firstChild) {
        joints.isAsked = false;
        line.scrollIntoView({block: "center"});
      }
    }

    return {read: read, show: showJoints};
  }

  window.decoderIdentifyTyped = {make: make};
})();
