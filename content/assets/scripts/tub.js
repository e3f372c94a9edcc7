/*
 * The tub: what was identified in this sitting, kept on this phone alone (localStorage, key `decoder.tub`).
 *
 * CSV columns: designation, kind, length, marks, quantity, note. The same file comes back in. Where the phone refuses to
 * keep anything, the tub lasts as long as the page does, and says so.
 */
(function () {
  "use strict";

  var section = document.getElementById("tub");
  if (!section) return;
  var KEY = "decoder.tub";
  var COLUMNS = ["designation", "kind", "length", "marks", "quantity", "note"];
  var offer = document.getElementById("to-tub");
  var kept = read();

  function read() {
    try {
      var found = JSON.parse(localStorage.getItem(KEY) || "[]");
      return Array.isArray(found) ? found.filter(function (row) { return row && row.designation; }) : [];
    } catch (error) {
      return [];
    }
  }

  function keep() {
    try {
      localStorage.setItem(KEY, JSON.stringify(kept));
    } catch (error) {
      say("This phone keeps nothing: the tub is gone when the page closes. Export it first.");
    }
    show();
  }

  function say(text) {
    document.getElementById("tub-read").textContent = text;
  }

  function element(name, className, text) {
    var made = document.createElement(name);
    if (className) made.className = className;
    if (text !== undefined) made.textContent = text;
    return made;
  }

  function button(text, pressed, label) {
    var made = element("button", "", text);
    made.type = "button";
    if (label) made.setAttribute("aria-label", label);
    made.addEventListener("click", pressed);
    return made;
  }

  function words(row) {
    return [row.designation, row.kind, row.length && row.length + " long", row.marks && row.marks.replace(/\|/g, ", ")]
      .filter(Boolean).join(", ");
  }

  function show() {
    section.hidden = !kept.length;
    var list = document.getElementById("tub-list");
    list.textContent = "";
    kept.forEach(function (row, at) {
      var item = element("li");
      item.appendChild(element("strong", "", row.quantity + " × " + words(row)));
      var note = element("input", "");
      note.type = "text";
      note.value = row.note;
      note.placeholder = "note";
      note.setAttribute("aria-label", "Note on " + words(row));
      note.addEventListener("change", function () {
        row.note = note.value;
        keep();
      });
      item.appendChild(note);
      var actions = element("div", "choices");
      actions.appendChild(button("+ 1", function () { row.quantity += 1; keep(); }, "One more of " + words(row)));
      actions.appendChild(button("− 1", function () { row.quantity = Math.max(1, row.quantity - 1); keep(); }, "One fewer of " + words(row)));
      actions.appendChild(button("Same again, other length", function () { again(row); }));
      actions.appendChild(button("Remove", function () { kept.splice(at, 1); keep(); }, "Remove " + words(row)));
      item.appendChild(actions);
      list.appendChild(item);
    });
  }

  /** The same fastener in another length: one field to fill, everything else as it was. */
  function again(row) {
    var length = document.createElement("input");
    length.type = "text";
    length.placeholder = "1-1/2 in";
    length.setAttribute("aria-label", "The other length of " + row.designation);
    var line = document.getElementById("tub-read");
    line.textContent = "Its length: ";
    line.appendChild(length);
    line.appendChild(button("Put it in", function () {
      try {
        var read = window.decoderQuantities.parseLength(length.value);
        kept.push({designation: row.designation, kind: row.kind, length: read.written, marks: row.marks, quantity: 1, note: ""});
        line.textContent = "";
        keep();
      } catch (error) {
        length.setAttribute("aria-invalid", "true");
        length.title = error.message;
        line.appendChild(element("span", "refused", error.message));
      }
    }));
    length.focus();
  }

  document.addEventListener("decoder:answer", function (event) {
    var answer = event.detail.answer;
    var state = event.detail.state;
    offer.textContent = "";
    offer.hidden = !answer.candidates.length;
    answer.candidates.slice(0, 1).forEach(function (candidate) {
      offer.appendChild(button("Put " + candidate.designation + " in the tub", function () {
        var row = {
          designation: candidate.designation, kind: state.kind || "", length: state.length || "",
          marks: state.head_marks || "", quantity: 1, note: "",
        };
        var same = kept.filter(function (one) { return words(one) === words(row); })[0];
        if (same) same.quantity += 1;
        else kept.push(row);
        keep();
        say("In the tub: " + words(row) + ".");
      }));
    });
  });

  // ---- CSV --------------------------------------------------------------------------------------------------------

  function cell(value) {
    var text = String(value);
    // A spreadsheet would run a cell that begins like a formula.
    if (/^[=+@\t]/.test(text)) text = "'" + text;
    return /[",\n\r]/.test(text) ? '"' + text.replace(/"/g, '""') + '"' : text;
  }

  document.getElementById("tub-export").addEventListener("click", function () {
    var lines = [COLUMNS].concat(kept.map(function (row) { return COLUMNS.map(function (name) { return row[name]; }); }));
    var text = lines.map(function (line) { return line.map(cell).join(","); }).join("\r\n") + "\r\n";
    var link = element("a");
    link.href = URL.createObjectURL(new Blob([text], {type: "text/csv"}));
    link.download = "tub.csv";
    link.click();
    setTimeout(function () { URL.revokeObjectURL(link.href); }, 1000);
  });

  function rowsOf(text) {
    var rows = [[""]];
    var quoted = false;
    var signs = text.replace(/^\ufeff/, "");
    for (var at = 0; at < signs.length; at += 1) {
      var row = rows[rows.length - 1];
      var sign = signs[at];
      if (quoted && sign === '"' && signs[at + 1] === '"') {
        row[row.length - 1] += '"';
        at += 1;
      } else if (sign === '"') {
        quoted = !quoted;
      } else if (!quoted && sign === ",") {
        row.push("");
      } else if (!quoted && sign === "\n") {
        rows.push([""]);
      } else if (quoted || sign !== "\r") {
        row[row.length - 1] += sign;
      }
    }
    return rows.filter(function (row) { return row.join("").trim(); });
  }

  document.getElementById("tub-import").addEventListener("change", function (event) {
    var file = event.target.files[0];
    if (!file) return;
    file.text().then(function (text) {
      var rows = rowsOf(text);
      var header = rows.shift() || [];
      if (header.join() !== COLUMNS.join()) {
        say("That file has other columns: " + COLUMNS.join(", ") + " are expected. Nothing was taken.");
        return;
      }
      var refused = [];
      rows.forEach(function (values, at) {
        var row = {};
        COLUMNS.forEach(function (name, place) { row[name] = values[place] || ""; });
        row.quantity = Number(row.quantity);
        if (values.length !== COLUMNS.length || !row.designation || !(row.quantity > 0) || row.quantity % 1) refused.push(at + 2);
        else kept.push(row);
      });
      keep();
      say(rows.length - refused.length + " rows taken" + (refused.length ? "; lines " + refused.join(", ") + " could not be read" : "") + ".");
      event.target.value = "";
    });
  });

  show();
})();
