/*
 * Finds pages: sizes however they are written, spanners, marks, grades, kinds, guides, vehicles, assemblies and joints.
 *
 * Nothing is loaded before someone types. Then come the rows of data/search.js, the words of pages and the rows of every
 * vehicle, and the rules by which threads are read (quantities.js), as scripts and not by a request, so that it works
 * from a stick too. Row text is only ever set as text, never as HTML.
 *
 *   decoderFind.find(text, limit)  → {rows: [row], partly: whether no row has every word, …}; for tests
 *   decoderFind.open(text)         opens the panel; shell.js calls it, with what was typed meanwhile
 */
(function () {
  "use strict";

  var base = new URL("../../", document.currentScript.src).href;
  var kinds = [];
  var rows = [];
  var loading = null;
  var waiting = {};
  var missing = [];
  var complete = false;

  // ---- words ------------------------------------------------------------------------------------------------------

  var FRACTIONS = {
    "¼": "1/4", "½": "1/2", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8", "⅓": "1/3", "⅔": "2/3",
  };
  var WORD = /\d+-\d+\/\d+|\d+\/\d+|\d+(?:\.\d+)?|[a-z]+/g;
  /* Written beside what matters: they raise a match and never prevent one. */
  var BESIDE = ["mm", "in", "inch", "inche", "x", "no", "tpi", "thread", "bolt", "spanner", "wrench", "size",
    "head", "mark", "marked", "the", "a", "an", "of", "on", "for", "dia", "grade", "class"];

  /* How a question is put, not what it is about. */
  var ASKING = ["how", "is", "it", "do", "does", "did", "my", "what", "which", "where", "why", "to", "and", "or", "with", "can",
    "be", "this", "that", "should", "me", "not", "too", "are", "was", "if", "when", "from", "by"];

  var COUNTS = {one: "1", two: "2", three: "3", four: "4", five: "5", six: "6", seven: "7", eight: "8"};

  /** A text as words and numbers: `5/16"UNF` → 5/16, unf; `M8×1,25` → m, 8, x, 1.25; `1 1/8` → 1-1/8. */
  function wordsOf(text) {
    var plain = text.toLowerCase()
      .replace(/(\d)\s*([¼½¾⅛⅜⅝⅞⅓⅔])/g, function (_, whole, sign) { return whole + "-" + FRACTIONS[sign]; })
      .replace(/[¼½¾⅛⅜⅝⅞⅓⅔]/g, function (sign) { return FRACTIONS[sign]; })
      .replace(/[⁄∕]/g, "/").replace(/×/g, "x").replace(/[‐‑–—]/g, "-").replace(/#/g, "no ")
      .replace(/(\d),(\d)/g, "$1.$2").replace(/(\d) (\d+\/\d)/g, "$1-$2")
      .normalize("NFKD").replace(/[\u0300-\u036f]/g, "");
    return (plain.match(WORD) || []).map(function (word) {
      if (/^\d+\.\d+$/.test(word)) return String(Number(word));
      return COUNTS[word] || SAME[word] || (/[a-rt-z]s$/.test(word) && word.length > 3 ? word.slice(0, -1) : word);
    });
  }

  /** The words of a question, without those that only ask. */
  function askedOf(text) {
    var words = wordsOf(text);
    var about = words.filter(function (word) { return ASKING.indexOf(word) < 0; });
    return about.length ? about : words;
  }

  /* Words for the same thing, whichever stands on the page. */
  var SAME = {snapped: "broken", sheared: "broken", rusted: "rust", rusty: "rust"};

  function isNumber(word) {
    return word.charCodeAt(0) < 58;
  }

  // ---- matching ---------------------------------------------------------------------------------------------------

  function prepare(row, place) {
    var title = wordsOf(row[1]);
    return {
      kind: row[0], title: row[1], address: row[2], note: row[4], major: row[5] || 0, place: place,
      isGuide: kinds[row[0]][0] === "guide", isSection: row[2].indexOf("#") >= 0,
      titleWords: title, words: title.concat(wordsOf(row[3]), wordsOf(kinds[row[0]][0])),
    };
  }

  /** How well one word of the question stands in a list: whole 3, begun 1 (a word, or the number still being typed). */
  function standing(word, words, isLast) {
    if (words.indexOf(word) >= 0) return 3;
    // Of a number, and of a letter that stands alone (U-bolt), only the last may still be in the typing.
    if ((isNumber(word) || word.length === 1) && !isLast) return 0;
    return words.some(function (one) { return one.lastIndexOf(word, 0) === 0; }) ? 1 : 0;
  }

  function score(entry, asked) {
    var points = 0;
    for (var i = 0; i < asked.length; i += 1) {
      var last = i === asked.length - 1;
      var inTitle = standing(asked[i], entry.titleWords, last);
      var anywhere = inTitle || standing(asked[i], entry.words, last);
      if (!anywhere && BESIDE.indexOf(asked[i]) < 0) return 0;
      points += 2 * inTitle + anywhere;
    }
    if (points && asked.length > 1 && entry.isGuide) points += 4;
    // A title that says little else is the one meant.
    return points ? points + 4 * asked.length / (asked.length + entry.titleWords.length) : 0;
  }

  /*
   * Where no row has every word: the rows that have most of what was asked, each word weighing by how rare it is. Less
   * than half of the weight is nothing.
   */
  function closest(asked) {
    var words = asked.filter(function (word) { return BESIDE.indexOf(word) < 0; });
    var rarity = words.map(function (word, place) {
      var last = place === words.length - 1;
      var having = rows.filter(function (entry) { return standing(word, entry.words, last); }).length;
      return having ? Math.log(rows.length / having) : 0;
    });
    var whole = rarity.reduce(function (sum, weight) { return sum + weight; }, 0);
    var found = [];
    rows.forEach(function (entry) {
      var weight = 0;
      var points = 0;
      words.forEach(function (word, place) {
        var last = place === words.length - 1;
        if (!rarity[place] || !standing(word, entry.words, last)) return;
        weight += rarity[place];
        points += rarity[place] * (standing(word, entry.words, last) + standing(word, entry.titleWords, last));
      });
      // What holds for all vehicles answers a question sooner than one joint of one of them.
      if (weight > whole / 2) found.push({entry: entry, points: points * (/^vehicles\//.test(entry.address) ? 0.7 : 1)});
    });
    return found;
  }

  function near(entry, mm) {
    return entry.major && mm > entry.major - 0.06 * entry.major - 0.15 && mm < entry.major + 0.08;
  }

  /** A bare or metric measure in the question, in millimetres: a thread measures a little under its size. */
  function measureOf(text) {
    var match = /(\d+(?:[.,]\d+)?)\s*mm\b/i.exec(text) || /\b(\d+[.,]\d+)\b(?!\s*(?:in|"|tpi))/i.exec(text);
    return match ? Number(match[1].replace(",", ".")) : 0;
  }

  /** What a text says as a thread, by the rules that everything else reads threads with; null where it says none. */
  function threadOf(text) {
    if (!window.decoderQuantities) return null;
    try {
      return window.decoderQuantities.parseDesignation(text);
    } catch (error) {
      return null;
    }
  }

  function isThread(entry, asked, anyUnified) {
    if (!entry.major) return false;
    if (entry.thread === undefined) entry.thread = threadOf(entry.title);
    var thread = entry.thread;
    if (!thread || thread.size !== asked.size) return false;
    if (anyUnified) return /^UN/.test(thread.family) && asked.threads_per_inch === thread.threads_per_inch;
    return (asked.family === null || asked.family === thread.family) &&
      (!asked.families.length || asked.families.indexOf(thread.family) >= 0) &&
      (asked.threads_per_inch === null || asked.threads_per_inch === thread.threads_per_inch) &&
      (asked.pitch_mm === null || Math.abs(asked.pitch_mm - thread.pitch_mm) < 1e-6);
  }

  function threadRows(asked) {
    if (!asked || !asked.size) return [];
    var found = rows.filter(function (entry) { return isThread(entry, asked, false); });
    if (found.length || !/^UN/.test(asked.family || "") || asked.threads_per_inch === null) return found;
    // Manuals print '1-14 UNF' for what the standard files under UNS: size and pitch decide.
    return rows.filter(function (entry) { return isThread(entry, asked, true); });
  }

  function find(text, limit) {
    var asked = askedOf(text);
    var thread = threadOf(text);
    var found = [];
    if (asked.length) {
      var named = threadRows(thread);
      rows.forEach(function (entry) {
        // A thread that the text names outright comes before whatever has the same words in it.
        var points = score(entry, asked) + (named.indexOf(entry) >= 0 ? 20 : 0);
        if (points && entry.titleWords.join() === asked.join()) points += 25;
        if (points) found.push({entry: entry, points: points});
      });
    }
    var mm = measureOf(text);
    if (mm && found.length < limit) {
      rows.forEach(function (entry) {
        if (near(entry, mm) && !found.some(function (one) { return one.entry === entry; })) {
          // Beside a measure a number is the pitch.
          var pitch = asked.some(function (word) { return Number(word) !== mm && entry.titleWords.indexOf(word) > 0; });
          found.push({entry: entry, points: 1 - Math.abs(entry.major - mm) / 10 + (pitch ? 1 : 0)});
        }
      });
    }
    var partly = !found.length;
    // Not before everything is there: what comes next may have every word.
    if (partly && complete) found = closest(asked);
    found.sort(function (a, b) {
      return b.points - a.points || a.entry.kind - b.entry.kind || a.entry.isSection - b.entry.isSection ||
        a.entry.place - b.entry.place;
    });
    return {
      rows: found.slice(0, limit).map(function (one) { return one.entry; }),
      more: Math.max(0, found.length - limit),
      partly: partly,
      tokens: asked,
      measured: asked.some(isNumber) ? text.trim() : "",
    };
  }

  // ---- loading ----------------------------------------------------------------------------------------------------

  function fetchScript(address) {
    return new Promise(function (done, failed) {
      var script = document.createElement("script");
      script.src = base + address;
      script.onload = done;
      script.onerror = function () { failed(new Error(address)); };
      document.head.appendChild(script);
    });
  }

  function take(name, part) {
    if (part.kinds) kinds = part.kinds;
    waiting[name] = part;
    rows = rows.concat(part.rows.map(prepare));
    if (!part.words) return;
    var byAddress = new Map(part.words);
    rows.forEach(function (entry) {
      if (byAddress.has(entry.address)) entry.words = entry.words.concat(wordsOf(byAddress.get(entry.address)));
    });
  }

  /** The rest, parts as [address, vehicle's title or '']; a part that cannot be had is kept in `missing`. */
  function fetchParts(parts) {
    return Promise.all(parts.map(function (part) {
      return fetchScript(part[0]).catch(function () { missing.push(part); });
    }));
  }

  /*
   * The global rows come first and are shown at once; the vehicles' rows, and the rules for reading threads, which only
   * sharpen the search, follow. `partly` is called after each step. A vehicle that cannot be had (no network, not kept)
   * is missing from what was searched, and that is said.
   */
  function load(partly) {
    if (!loading) {
      loading = fetchScript("data/search.js").then(function () {
        var parts = waiting.search.parts.slice();
        if (!window.decoderQuantities) parts.push(["assets/scripts/quantities.js", ""]);
        return {rest: fetchParts(parts).then(function () { complete = true; })};
      }).catch(function (error) {
        loading = null;
        throw error;
      });
    }
    return loading.then(function (begun) {
      if (partly && !complete) partly();
      return begun.rest;
    });
  }

  window.addEventListener("online", function () {
    fetchParts(missing.splice(0));
  });

  /** Which vehicles were not looked through, in words; '' where all were. */
  function unsearched() {
    var titles = missing.map(function (part) { return part[1]; }).filter(Boolean);
    if (!complete || !titles.length) return "";
    var named = titles.slice(0, 5).join(", ") + (titles.length > 5 ? " and " + (titles.length - 5) + " more" : "");
    return " Not searched, because not kept on this phone: " + named + ".";
  }

  // ---- panel ------------------------------------------------------------------------------------------------------

  function element(name, className, text) {
    var made = document.createElement(name);
    if (className) made.className = className;
    if (text !== undefined) made.textContent = text;
    return made;
  }

  function resultItem(address, title, kind, note) {
    var item = element("li");
    var link = element("a");
    link.href = base + address;
    link.appendChild(element("span", "found", title));
    link.appendChild(document.createTextNode(" "));
    link.appendChild(element("small", "", note ? kind + ", " + note : kind));
    item.appendChild(link);
    return item;
  }

  function mount(place, number) {
    place.textContent = "";
    var form = element("form", "find");
    form.setAttribute("role", "search");
    var label = element("label", "", "Type a size, a spanner, a mark, a joint …");
    var input = element("input");
    input.type = "search";
    input.id = "find-" + number;
    input.autocomplete = "off";
    input.autocapitalize = "none";
    input.spellcheck = false;
    input.placeholder = "5/16 UNF   13 mm   8.8   hub nut";
    label.htmlFor = input.id;
    var status = element("p", "find-status");
    status.setAttribute("role", "status");
    var list = element("ul", "links find-results");
    form.appendChild(label);
    form.appendChild(input);
    form.appendChild(status);
    form.appendChild(list);
    place.appendChild(form);

    var limit = 12;

    function show() {
      var text = input.value;
      status.dataset.for = text;
      // What arrives later draws the list anew: whoever has gone down into it stays where they are.
      var held = list.contains(document.activeElement) ? document.activeElement.href : "";
      list.textContent = "";
      if (!text.trim()) {
        status.textContent = "";
        return;
      }
      var found = find(text, limit);
      if (found.measured) {
        list.appendChild(resultItem("identify/?q=" + encodeURIComponent(found.measured), "Identify ‘" + found.measured + "’",
          "as something measured or seen"));
      }
      found.rows.forEach(function (entry) {
        list.appendChild(resultItem(entry.address, entry.title, kinds[entry.kind][0], entry.note));
      });
      if (held) {
        var again = [].slice.call(list.querySelectorAll("a")).filter(function (link) { return link.href === held; })[0];
        (again || input).focus();
      }
      if (!found.rows.length && !complete) {
        status.textContent = "Looking further …";
      } else if (!found.rows.length) {
        status.textContent = "Nothing found. Try fewer words, or other ones." + unsearched();
      } else if (found.partly) {
        status.textContent = "Nothing has every word. Closest:" + unsearched();
      } else {
        status.textContent = found.rows.length + (found.more ? " best of " + (found.rows.length + found.more) : "") +
          (found.rows.length === 1 ? " match" : " matches");
        if (unsearched()) status.textContent += "." + unsearched();
      }
    }

    input.addEventListener("input", function () {
      if (!rows.length) status.textContent = "Loading …";
      load(show).then(show, function () {
        status.textContent = "The search could not be loaded: is there a network? The lists of sizes, marks and spanners may still open.";
      });
    });
    form.addEventListener("submit", function (event) {
      event.preventDefault();
      var first = list.querySelector("a[href*='identify/?q=']") && list.querySelectorAll("a").length > 1
        ? list.querySelectorAll("a")[1] : list.querySelector("a");
      if (first) first.click();
    });
    form.addEventListener("keydown", function (event) {
      if (event.key !== "ArrowDown" && event.key !== "ArrowUp") return;
      var stops = [input].concat([].slice.call(list.querySelectorAll("a")));
      var at = stops.indexOf(document.activeElement) + (event.key === "ArrowDown" ? 1 : -1);
      if (stops[at]) {
        event.preventDefault();
        stops[at].focus();
      }
    });
    return input;
  }

  // ---- opening ----------------------------------------------------------------------------------------------------

  var panel = null;
  var panelInput = null;

  function open(typed) {
    if (!panel) {
      panel = element("dialog", "find-panel md-typeset");
      panel.setAttribute("aria-label", "Search");
      var close = element("button", "find-close", "Close");
      close.type = "button";
      close.addEventListener("click", function () { panel.close(); });
      panel.appendChild(close);
      var inside = element("div");
      panel.appendChild(inside);
      panelInput = mount(inside, "panel");
      panel.addEventListener("click", function (event) {
        // A link to the page that is open would leave the panel over it.
        if (event.target === panel || event.target.closest("a")) panel.close();
      });
      document.body.appendChild(panel);
    }
    panel.showModal();
    panelInput.focus();
    panelInput.select();
    if (typed) {
      panelInput.value = typed;
      panelInput.dispatchEvent(new Event("input"));
    }
  }

  window.decoderFind = {take: take, find: find, load: load, open: open};

  document.querySelectorAll("[data-find]").forEach(function (place, number) {
    var input = mount(place, number);
    var typed = new URLSearchParams(location.search).get("q");
    if (typed) {
      input.value = typed;
      input.dispatchEvent(new Event("input"));
    }
  });
})();
