/*
 * The page of what is kept on this phone, and the page that stands in for one that is not. Says what is kept, how large
 * and how old it is; keeps and removes vehicles; exports, imports and deletes what was typed; switches keeping off.
 */
(function () {
  "use strict";

  var offline = window.decoderOffline;
  var root = document.getElementById("kept");
  var missing = document.getElementById("not-kept");

  function element(name, text) {
    var made = document.createElement(name);
    if (text !== undefined) made.textContent = text;
    return made;
  }

  function button(text, pressed) {
    var made = element("button", text);
    made.type = "button";
    made.addEventListener("click", pressed);
    return made;
  }

  function size(bytes) {
    return bytes < 1e6 ? Math.max(1, Math.round(bytes / 1000)) + " kB" : (bytes / 1e6).toFixed(1) + " MB";
  }

  function age(time) {
    var days = Math.floor((Date.now() - Date.parse(time)) / 864e5);
    var date = new Date(time).toLocaleDateString(undefined, {day: "numeric", month: "long", year: "numeric"});
    return date + (days < 1 ? " (today)" : days === 1 ? " (yesterday)" : " (" + days + " days ago)");
  }

  /** Packs of one subject or vehicle as one: bytes in all, and the oldest time, or null where one is missing. */
  function together(packs) {
    return {
      title: packs[0].title,
      bytes: packs.reduce(function (sum, pack) { return sum + pack.bytes; }, 0),
      kept: packs.every(function (pack) { return pack.kept; })
        ? packs.map(function (pack) { return pack.kept; }).sort()[0] : null,
    };
  }

  function subjects(status) {
    var groups = {};
    status.packs.filter(function (pack) { return !pack.vehicle; }).forEach(function (pack) {
      (groups[pack.title] = groups[pack.title] || []).push(pack);
    });
    return Object.keys(groups).map(function (title) { return together(groups[title]); });
  }

  function ofVehicle(status, slug) {
    var packs = status.packs.filter(function (pack) { return pack.vehicle === slug; });
    return packs.length ? together(packs) : null;
  }

  // ---- the page that stands in --------------------------------------------------------------------------------------

  if (missing) {
    var asked = new URLSearchParams(location.search).get("page");
    if (asked !== null && !/^[a-z]+:|^\/|\.\./i.test(asked)) {
      var what = missing.querySelector("[data-what]");
      var again = missing.querySelector("[data-again]");
      again.hidden = false;
      again.querySelector("a").href = "../" + asked;
      what.textContent = "There is no network, and ‘" + asked + "’ is not kept on this phone.";
      var vehicle = /^vehicles\/([a-z0-9-]+)(\/|$)/.exec(asked);
      if (vehicle && !offline.why) {
        offline.ask({ask: "status"}).then(function (status) {
          var title = status.vehicles[vehicle[1]];
          if (title) what.textContent = "There is no network, and the vehicle ‘" + title + "’ is not kept on this phone. Open it once with a network, and it stays.";
        }, function () { /* the first words stand */ });
      }
    }
  }
  if (!root) return;

  // ---- pages and vehicles -------------------------------------------------------------------------------------------

  var state = root.querySelector("[data-state]");

  function say(text) {
    state.textContent = text;
  }

  function refresh(done) {
    return function () {
      return offline.ask({ask: "status"}).then(show).then(function () { if (done) say(done); });
    };
  }

  function doing(words, message, done) {
    return function () {
      say(words);
      offline.ask(message).then(function (status) {
        show(status);
        if (done) say(done);
      }, function (error) {
        say("That did not work: " + (navigator.onLine ? "the phone has no room, or the site has just changed. Reload and try again" : "there is no network") + " (" + error.message + ").");
      });
    };
  }

  function show(status) {
    var list = root.querySelector("[data-subjects]");
    list.textContent = "";
    var all = subjects(status);
    all.forEach(function (subject) {
      list.appendChild(element("dt", subject.title));
      list.appendChild(element("dd", size(subject.bytes) + (subject.kept ? ", fetched " + age(subject.kept) : ", not here yet")));
    });
    var whole = all.every(function (subject) { return subject.kept; });
    var bytes = all.reduce(function (sum, subject) { return sum + subject.bytes; }, 0);
    say(whole ? "All pages are here: " + size(bytes) + ", version " + status.version + "."
      : "Not all pages are here yet. They are fetched one by one; what has come stays.");
    root.querySelectorAll("[data-vehicle]").forEach(function (row) { showVehicle(row, ofVehicle(status, row.dataset.vehicle)); });
    var actions = root.querySelector("[data-page-actions]");
    actions.textContent = "";
    if (!whole) actions.appendChild(button("Fetch the rest", doing("Fetching …", {ask: "mend"})));
    actions.appendChild(button("Look for a new version", look));
    actions.appendChild(button("Stop keeping, delete all pages", stop));
  }

  function showVehicle(row, pack) {
    var words = row.querySelector("[data-words]");
    var action = row.querySelector("[data-action]");
    action.textContent = "";
    if (!pack) {
      words.textContent = "";
      return;
    }
    var slug = row.dataset.vehicle;
    words.textContent = size(pack.bytes) + (pack.kept ? ", fetched " + age(pack.kept) : ", not kept");
    var title = row.querySelector("a").textContent;
    var act = pack.kept ? button("Remove", doing("Removing …", {ask: "drop", vehicle: slug}, "Removed: " + title + "."))
      : button("Keep", doing("Fetching " + title + " …", {ask: "keep", vehicle: slug}, "Kept: " + title + "."));
    act.setAttribute("aria-label", act.textContent + " " + title);
    action.appendChild(act);
  }

  function look() {
    say("Looking …");
    offline.start().then(function (registration) { return registration.update(); }).then(function (registration) {
      if (registration.installing || registration.waiting) say("A new version is being fetched; you are asked when it is complete.");
      else say("This is the newest version.");
    }, function () { say("Could not look: is there a network?"); });
  }

  function stop() {
    if (!window.confirm("Delete all kept pages and vehicles, and keep none from now on? What you typed and ticked stays.")) return;
    offline.switchOff().then(showOff, function (error) { say("That did not work: " + error.message); });
  }

  function empty() {
    root.querySelector("[data-subjects]").textContent = "";
    root.querySelectorAll("[data-vehicle]").forEach(function (row) { showVehicle(row, null); });
    root.querySelector("[data-page-actions]").textContent = "";
  }

  function showOff() {
    empty();
    say("Keeping is switched off on this phone. The pages need a network.");
    root.querySelector("[data-page-actions]").appendChild(button("Keep pages again", function () {
      say("Fetching …");
      offline.switchOn().then(refresh(), function (error) { say("That did not work: " + error.message); });
    }));
  }

  function showUnstarted() {
    empty();
    say("Nothing is kept yet.");
    root.querySelector("[data-page-actions]").appendChild(button("Keep the pages now", function () {
      say("Fetching …");
      offline.start().then(refresh(), function (error) {
        say("This browser refuses to keep anything here: a private window, storage switched off, or no room (" + error.message + ").");
      });
    }));
  }

  // ---- how long -----------------------------------------------------------------------------------------------------

  function lasting() {
    var words = root.querySelector("[data-lasting]");
    var actions = root.querySelector("[data-lasting-actions]");
    if (!navigator.storage || !navigator.storage.persisted) return;
    navigator.storage.persisted().then(function (isLasting) {
      words.textContent = isLasting ? "This browser has promised not to throw it away by itself."
        : "This browser has not promised to keep it.";
      actions.textContent = "";
      if (isLasting) return;
      actions.appendChild(button("Ask it to", function () {
        navigator.storage.persist().then(function (granted) {
          if (granted) lasting();
          else words.textContent = "It refused for now. Browsers mostly agree once the site is on the home screen or used often.";
        });
      }));
    }, function () { words.textContent = ""; });
  }

  // ---- what was typed -----------------------------------------------------------------------------------------------

  var mine = window.decoderMyData;
  var said = root.querySelector("[data-mine-said]");

  function showMine() {
    var list = root.querySelector("[data-mine]");
    list.textContent = "";
    var kept = mine.collect();
    var titles = {};
    root.querySelectorAll("[data-vehicle]").forEach(function (row) { titles[row.dataset.vehicle] = row.querySelector("a").textContent; });
    Object.keys(kept).forEach(function (key) {
      var value = kept[key];
      var slug = key.replace("decoder.ticks.", "");
      if (key === "decoder.tub") put("Tub", mine.counted(value.length, "row"));
      else if (key === "decoder.units") put(/-only$/.test(value) ? "Unit alone" : "First unit", /^inch/.test(value) ? "inch" : "mm");
      else if (key === "decoder.vehicle") put("Vehicle to identify for", titles[value] || value);
      else put("Ticks, " + (titles[slug] || slug), mine.counted(Object.keys(value).length, "joint"));
    });
    if (!list.children.length) put("Nothing yet", "Ticks on joints, the tub, which unit stands first and which vehicle you chose would be listed here.");
    root.querySelector("[data-nag]").hidden = !mine.isUnsaved();

    function put(name, words) {
      list.appendChild(element("dt", name));
      list.appendChild(element("dd", words));
    }
  }

  root.querySelector("[data-export]").addEventListener("click", function () {
    var link = element("a");
    link.href = URL.createObjectURL(new Blob([mine.write()], {type: "application/json"}));
    link.download = "decoder-my-data-" + new Date().toISOString().slice(0, 10) + ".json";
    link.click();
    setTimeout(function () { URL.revokeObjectURL(link.href); }, 1000);
    mine.markSaved();
    said.textContent = "Exported as " + link.download + ".";
    showMine();
  });

  root.querySelector("#my-data-file").addEventListener("change", function (event) {
    var file = event.target.files[0];
    if (!file) return;
    if (file.size > 4e6) {
      said.textContent = "That file is larger than anything exported here. Nothing was taken.";
      return;
    }
    file.text().then(function (text) {
      try {
        said.textContent = mine.add(mine.read(text));
      } catch (error) {
        said.textContent = error.name === "Error" ? error.message : "This phone refuses to keep it: " + error.message;
      }
      event.target.value = "";
      showMine();
    });
  });

  root.querySelector("[data-forget]").addEventListener("click", function () {
    if (!window.confirm("Delete all ticks, the tub and what you chose from this phone? Ticks and tub are not anywhere else unless you exported them.")) return;
    try {
      mine.forget();
      said.textContent = "Deleted.";
    } catch (error) {
      said.textContent = "This phone keeps nothing, so there was nothing to delete.";
    }
    showMine();
  });

  // ---- begin --------------------------------------------------------------------------------------------------------

  document.querySelectorAll(".needs-script").forEach(function (notice) { notice.hidden = true; });
  root.hidden = false;
  showMine();
  lasting();
  if (offline.why) {
    empty();
    say(location.protocol !== "file:" ? offline.why
      : "These pages are open as files: all of them are here. Some browsers then remember ticks for each page alone, so export them.");
    return;
  }
  document.addEventListener("decoder:kept", function (event) { show(event.detail); });
  if (offline.isOff()) {
    showOff();
    return;
  }
  navigator.serviceWorker.getRegistration().then(function (registration) {
    if (registration && registration.active) return refresh()();
    return showUnstarted();
  }, showUnstarted);
})();
