/*
 * The tub: what was identified in this sitting, kept on this phone alone (localStorage, key `decoder.tub`, a list of
 * rows {designation, kind, length, marks, quantity, note}; `note` is text, `quantity` a whole number from 1).
 *
 * CSV columns: the same six, in any order. The file comes back in. Where the phone refuses to keep anything, the tub
 * lasts as long as the page does, and says so.
 *
 *   decoderTub.open(titles) → tub         titles: {mark id: title}
 *   tub.put(row) → {words, count}         adds one, or one more of what is there already
 *      .count() → pieces in the tub
 */
(function () {
  "use strict";

  var KEY = "decoder.tub";
  var COLUMNS = ["designation", "kind", "length", "marks", "quantity", "note"];
  var LONGEST = 400;
  var make = window.decoderElements.make;
  var button = window.decoderElements.button;

  function open(titles) {
    var section = document.getElementById("tub");
    var list = document.getElementById("tub-list");
    var line = document.getElementById("tub-read");
    var lost = document.getElementById("tub-lost");
    var file = document.getElementById("tub-import");
    var rows = read();

    // ---- kept on the phone ----------------------------------------------------------------------------------------

    function read() {
      var found;
      try {
        found = JSON.parse(localStorage.getItem(KEY) || "[]");
      } catch (error) {
        return [];
      }
      return Array.isArray(found) ? found.filter(isRow).map(whole) : [];
    }

    function isRow(row) { return Boolean(row) && typeof row.designation === "string" && row.designation && row.quantity > 0; }

    function whole(row) {
      var made = {};
      COLUMNS.forEach(function (name) { made[name] = name === "quantity" ? Math.round(row.quantity) || 1 : String(row[name] || ""); });
      return made;
    }

    function keep() {
      try {
        localStorage.setItem(KEY, JSON.stringify(rows));
        lost.hidden = true;
      } catch (error) {
        lost.hidden = false;
      }
      show();
    }

    // ---- words ----------------------------------------------------------------------------------------------------

    function marksWords(row) {
      return row.marks.split("|").filter(Boolean).map(function (id) {
        return id === "none" ? "no mark" : titles[id] || id;
      }).join(", ");
    }

    function words(row) {
      return [row.designation, row.kind, row.length && row.length + " long", marksWords(row)].filter(Boolean).join(", ");
    }

    function isSame(one, other) {
      return ["designation", "kind", "length", "marks"].every(function (name) { return one[name] === other[name]; });
    }

    function count() { return rows.reduce(function (sum, row) { return sum + row.quantity; }, 0); }

    /** Says what was done; `undo` takes it back. */
    function say(text, undo) {
      line.textContent = text + " ";
      if (!undo) return;
      line.appendChild(button("Undo", function () {
        undo();
        line.textContent = "";
        keep();
      }, "chip"));
    }

    // ---- the list -------------------------------------------------------------------------------------------------

    function show() {
      section.hidden = false;
      section.querySelectorAll("[data-filled]").forEach(function (part) { part.hidden = !rows.length; });
      document.getElementById("tub-count").textContent = rows.length ? count() + (count() === 1 ? " piece" : " pieces") : "empty";
      list.textContent = "";
      rows.forEach(function (row, at) { list.appendChild(item(row, at)); });
    }

    function item(row, at) {
      var made = make("li");
      var what = make("p", "what");
      what.appendChild(make("strong", "", row.designation));
      what.appendChild(make("span", "", " " + [row.kind, row.length && row.length + " long", marksWords(row)].filter(Boolean).join(", ")));
      made.appendChild(what);
      var line = make("div", "counted");
      line.appendChild(counter(row, at));
      line.appendChild(button("Remove", function () {
        rows.splice(at, 1);
        say("Taken out: " + words(row) + ".", function () { rows.splice(at, 0, row); });
        keep();
      }, "", "Remove " + words(row)));
      made.appendChild(line);
      made.appendChild(note(row));
      made.appendChild(button("Same again, other length", function () { again(row, made); }));
      return made;
    }

    function counter(row, at) {
      var made = make("div", "counter");
      made.setAttribute("role", "group");
      made.setAttribute("aria-label", "How many of " + words(row));
      function step(by, className) {
        return function () {
          row.quantity = Math.max(1, row.quantity + by);
          keep();
          // The list was drawn anew; the finger and the focus stay where they were.
          list.children[at].querySelector(className).focus();
        };
      }
      made.appendChild(button("−", step(-1, ".fewer"), "fewer", "One fewer"));
      made.appendChild(make("output", "", String(row.quantity)));
      made.appendChild(button("+", step(1, ".more-of"), "more-of", "One more"));
      return made;
    }

    function note(row) {
      var input = make("input", "note");
      input.type = "text";
      input.value = row.note;
      input.maxLength = LONGEST;
      input.placeholder = "Note";
      input.setAttribute("aria-label", "Note on " + words(row));
      input.addEventListener("change", function () {
        row.note = input.value.trim();
        keep();
      });
      return input;
    }

    /** The same fastener in another length: one field to fill, everything else as it was. */
    function again(row, place) {
      var before = place.querySelector("form");
      if (before) {
        before.querySelector("input").focus();
        return;
      }
      var form = make("form", "again");
      var label = make("label", "", "The other length");
      var input = make("input");
      var entry = make("div", "entry");
      var read = make("p", "read");
      input.type = "text";
      input.dataset.keypad = "length";
      input.inputMode = window.matchMedia("(pointer: coarse)").matches ? "none" : "text";
      input.autocomplete = "off";
      input.id = "other-length";
      label.htmlFor = input.id;
      read.id = "other-length-read";
      input.setAttribute("aria-describedby", read.id);
      entry.appendChild(input);
      var submit = make("button", "", "Put it in");
      submit.type = "submit";
      entry.appendChild(submit);
      [label, entry, read].forEach(function (part) { form.appendChild(part); });
      form.addEventListener("submit", function (event) {
        event.preventDefault();
        var length;
        try {
          length = window.decoderQuantities.parseLength(input.value).written;
        } catch (error) {
          read.textContent = error.message;
          read.classList.add("refused");
          input.setAttribute("aria-invalid", "true");
          input.focus();
          return;
        }
        var done = put({designation: row.designation, kind: row.kind, length: length, marks: row.marks, quantity: 1, note: ""});
        say("In the tub: " + done.words + ".");
      });
      place.appendChild(form);
      input.focus();
      form.scrollIntoView({block: "center"});
    }

    function put(row) {
      var one = whole(row);
      var same = rows.filter(function (other) { return isSame(one, other); })[0];
      if (same) same.quantity += one.quantity;
      else rows.push(one);
      keep();
      return {words: words(one), count: count()};
    }

    document.getElementById("tub-empty").addEventListener("click", function () {
      var before = rows;
      rows = [];
      say("The tub is empty.", function () { rows = before; });
      keep();
    });

    // ---- CSV ------------------------------------------------------------------------------------------------------

    function cell(value) {
      var text = String(value);
      // A spreadsheet would run a cell that begins like a formula.
      if (/^[=+@\t-]/.test(text)) text = "'" + text;
      return /[",;\n\r]/.test(text) ? '"' + text.replace(/"/g, '""') + '"' : text;
    }

    function written() {
      return [COLUMNS].concat(rows.map(function (row) {
        return COLUMNS.map(function (name) { return row[name]; });
      })).map(function (cells) { return cells.map(cell).join(",") + "\r\n"; }).join("");
    }

    document.getElementById("tub-export").addEventListener("click", function () {
      var link = make("a");
      link.href = URL.createObjectURL(new Blob([written()], {type: "text/csv"}));
      link.download = "tub.csv";
      link.click();
      setTimeout(function () { URL.revokeObjectURL(link.href); }, 1000);
    });

    /** Cells of a CSV file; a spreadsheet may have put semicolons or tabs between them. */
    function cells(text) {
      var signs = text.replace(/^\ufeff/, "");
      var first = signs.split("\n", 1)[0];
      var between = [",", ";", "\t"].sort(function (a, b) { return first.split(b).length - first.split(a).length; })[0];
      var table = [[""]];
      var isQuoted = false;
      for (var at = 0; at < signs.length; at += 1) {
        var row = table[table.length - 1];
        var sign = signs[at];
        if (isQuoted && sign === '"' && signs[at + 1] === '"') {
          row[row.length - 1] += '"';
          at += 1;
        } else if (sign === '"') {
          isQuoted = !isQuoted;
        } else if (!isQuoted && sign === between) {
          row.push("");
        } else if (!isQuoted && sign === "\n") {
          table.push([""]);
        } else if (isQuoted || sign !== "\r") {
          row[row.length - 1] += sign;
        }
      }
      return table;
    }

    /** Takes a file's rows in and says in one sentence what came of it. */
    function take(text) {
      var table = cells(text);
      var header = table[0].map(function (name) { return name.trim().toLowerCase(); });
      var missing = COLUMNS.filter(function (name) { return header.indexOf(name) < 0; });
      if (missing.length) {
        return say("Nothing was taken: the first line of the file lacks " + missing.join(", ") + ". It has to name " + COLUMNS.join(", ") + ".");
      }
      var refused = [];
      var taken = 0;
      var here = 0;
      table.slice(1).forEach(function (values, at) {
        if (!values.join("").trim()) return;
        var row = {};
        COLUMNS.forEach(function (name) { row[name] = (values[header.indexOf(name)] || "").trim().replace(/^'(?=[=+@\t-])/, ""); });
        var isFit = COLUMNS.every(function (name) { return row[name].length <= LONGEST; });
        row.quantity = /^\d{1,5}$/.test(row.quantity) ? Number(row.quantity) : 0;
        if (values.length > header.length || !isFit || !isRow(row)) {
          refused.push(at + 2);
        } else if (rows.some(function (other) { return isSame(row, other) && row.quantity === other.quantity && row.note === other.note; })) {
          here += 1;
        } else {
          rows.push(whole(row));
          taken += 1;
        }
      });
      say(taken + (taken === 1 ? " row" : " rows") + " taken in" + (here ? ", " + here + " were here already" : "") +
        (refused.length ? ". Not taken, lines " + refused.join(", ") + ": each needs a designation and a whole quantity" : "") + ".");
      keep();
    }

    file.addEventListener("change", function () {
      var chosen = file.files[0];
      if (!chosen) return;
      chosen.text().then(take, function () { say("That file could not be read."); show(); });
      file.value = "";
    });

    // Another page of the site changed it, or this one comes back from the browser's memory.
    window.addEventListener("storage", function (event) {
      if (event.key !== KEY && event.key !== null) return;
      rows = read();
      show();
    });
    window.addEventListener("pageshow", function (event) {
      if (!event.persisted) return;
      rows = read();
      show();
    });

    show();
    return {put: put, count: count};
  }

  window.decoderTub = {open: open};
})();
