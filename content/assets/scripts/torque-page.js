/*
 * The torque page: reads what is typed and tapped, asks torque.js, shows the band with everything it rests on. What was
 * said stands in the address after '#', so that a reload loses nothing.
 */
(function () {
  "use strict";

  var root = document.getElementById("torque");
  if (!root || !window.decoderTorqueData) return;

  var LBF_PER_N = 0.2248089430997105;
  var make = window.decoderElements.make;
  var quantities = window.decoderQuantities;
  var torque = window.decoderTorque.load(window.decoderTorqueData, quantities);
  var fields = root.querySelectorAll("[data-field]");
  var groups = root.querySelectorAll("[data-choice]");
  var said = {};

  function part(id) { return document.getElementById(id); }

  // ---- what was said --------------------------------------------------------------------------------------------------

  function readAddress() {
    said = {};
    // Other pages lead here with what they know in the query; from then on it stands after '#'.
    new URLSearchParams(location.hash.slice(1) || location.search.slice(1)).forEach(function (text, key) { said[key] = text; });
    fields.forEach(function (field) { field.value = said[field.dataset.field] || ""; });
  }

  function keepAddress() {
    var query = new URLSearchParams();
    Object.keys(said).sort().forEach(function (key) { if (said[key]) query.set(key, said[key]); });
    history.replaceState(null, "", location.pathname + "#" + query.toString());
  }

  function press() {
    groups.forEach(function (group) {
      var chosen = said[group.dataset.choice] || "";
      group.querySelectorAll("button").forEach(function (button) {
        button.setAttribute("aria-pressed", String(button.dataset.value === chosen));
      });
    });
    part("torque-hole").hidden = said.goes !== "hole";
  }

  function set(key, text) {
    said[key] = text;
    fields.forEach(function (field) {
      if (field.dataset.field === key && field.value !== text) field.value = text;
    });
    show();
    keepAddress();
  }

  // ---- the answer -----------------------------------------------------------------------------------------------------

  function asked() {
    var inHole = said.goes === "hole";
    return {
      size: (said.size || "").trim(), strength: (said.strength || "").trim(), lubricant: said.on || "", finish: said.finish || "",
      nut: inHole ? "" : (said.nut || "").trim(), reused: said.used === "yes", joint: said.joint || "",
      into: inHole ? said.into || "" : "", engagement: inHole ? (said.engagement || "").trim() : "",
    };
  }

  /** What is still to be said before a torque can be worked out, "" where nothing is. */
  function wanting(question) {
    if (!question.size && !question.strength) return "Write the size and the grade.";
    if (!question.size) return "Write the size.";
    if (!question.strength) return "Write the grade that the head or a parts list gives.";
    if (said.goes !== "hole") return "";
    if (!question.into) return "Say what the hole is in.";
    return question.engagement ? "" : "Write how much thread is in the hole.";
  }

  function refuse(error) {
    var line = part("torque-" + error.field + "-read");
    verdict("No figure", line ? "" : error.message);
    if (!line) return;
    line.textContent = error.message;
    line.classList.add("refused");
    part("torque-" + error.field).setAttribute("aria-invalid", "true");
    (error.choices || []).slice(0, 12).forEach(function (choice) {
      line.appendChild(window.decoderElements.button(choice, function () { set(error.field, choice); }, "chip"));
    });
  }

  /** The figure once more, kept in sight above the bar at the bottom while the answer itself is further down. */
  function short(text) {
    part("torque-short").textContent = text;
    part("torque-short").hidden = !text;
  }

  function verdict(big, text) {
    short(big);
    var place = part("torque-verdict");
    place.textContent = "";
    if (big) place.appendChild(make("p", "big", big));
    if (text) place.appendChild(make("p", "", text));
  }

  function list(id, lines) {
    var place = part(id);
    place.textContent = "";
    lines.forEach(function (line) { place.appendChild(make("li", "", line)); });
    part(id + "-part").hidden = !lines.length;
  }

  function load(newton) {
    return quantities.trimmed(newton / 1000, 1) + " kN (" + quantities.trimmed(newton * LBF_PER_N, 0) + " lbf)";
  }

  function fact(place, name, text) {
    place.appendChild(make("dt", "", name));
    place.appendChild(make("dd", "", text));
  }

  function figures(found) {
    var place = part("torque-figures");
    place.textContent = "";
    place.hidden = found.torque_nm === null;
    if (place.hidden) return;
    fact(place, "K", found.k.low === found.k.high ? String(found.k.low) : found.k.low + " to " + found.k.high);
    fact(place, "Clamping force", load(found.preload_n));
    fact(place, "Proof load", load(found.proof_load_n) + " on " + quantities.trimmed(found.stress_area_mm2, 1) + " mm²");
    fact(place, "With the usual K", quantities.formatTorque(found.chart_nm));
  }

  function band(found) {
    // Both systems on lines of their own: 'N·m (lbf·ft)' in one is too long to read at arm's length.
    var both = /^(.*) \((.*)\)$/.exec(quantities.formatTorque(found.torque_nm.low, found.torque_nm.high));
    // One figure to set the wrench to: at the low end no bolt of this grade is overstretched.
    var start = /^(.*) \((.*)\)$/.exec(quantities.formatTorque(found.torque_nm.low));
    verdict(start[1], "");
    short(start[1] + " · " + start[2]);
    var place = part("torque-verdict");
    place.appendChild(make("p", "big", start[2]));
    if (found.torque_nm.high > found.torque_nm.low) {
      // What the upper end does where thread and face are as slippery as the lower end supposes.
      var past = found.k.high * found.preload_n > found.k.low * found.proof_load_n;
      place.appendChild(make("p", "", "Start there. Friction decides: " + both[1] + ", " + both[2] + "." +
        (past ? " At the upper end a slippery thread takes the bolt past its proof load." : "")));
    }
    if (said.used === "yes") place.appendChild(make("p", "", "Used: the same figure. It asks no more than a used bolt may have; what changes is what you look at first, below."));
    if (found.limited_by) place.appendChild(make("p", "", found.limited_by));
    place.appendChild(make("p", "", window.decoderTorqueData.texts.manual_first));
  }

  function clear() {
    root.querySelectorAll(".read").forEach(function (line) {
      line.textContent = "";
      line.classList.remove("refused");
    });
    fields.forEach(function (field) { field.removeAttribute("aria-invalid"); });
    part("torque-figures").hidden = true;
    ["torque-working", "torque-assumes", "torque-cautions", "torque-sources"].forEach(function (id) { list(id, []); });
  }

  function show() {
    press();
    clear();
    var question = asked();
    var missing = wanting(question);
    if (missing) {
      verdict("", missing);
      return;
    }
    var found;
    try {
      found = torque.answer(question);
    } catch (error) {
      if (!error.field) throw error;
      refuse(error);
      return;
    }
    part("torque-size-read").textContent = "Read as " + found.designation + ".";
    part("torque-strength-read").textContent = "Read as " + found.grade + ".";
    if (found.torque_nm) band(found);
    else verdict("No figure", found.why_not.charAt(0).toUpperCase() + found.why_not.slice(1));
    figures(found);
    list("torque-working", found.working);
    list("torque-assumes", found.assumes);
    // Who comes first stands with the figure already.
    list("torque-cautions", found.torque_nm ? found.cautions.slice(1) : found.cautions);
    list("torque-sources", found.sources);
  }

  fields.forEach(function (field) {
    field.addEventListener(field.tagName === "SELECT" ? "change" : "input", function () { set(field.dataset.field, field.value); });
  });
  groups.forEach(function (group) {
    group.addEventListener("click", function (event) {
      var button = event.target.closest("button");
      if (button) set(group.dataset.choice, button.dataset.value);
    });
  });
  window.addEventListener("hashchange", function () {
    readAddress();
    show();
  });
  part("torque-work").hidden = false;
  root.querySelector(".needs-script").hidden = true;
  readAddress();
  show();
})();
