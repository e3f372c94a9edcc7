/*
 * What tired and worried people type into the one field beyond sizes and marks: a question where a sure answer would be
 * dangerous, and words round a measure ('stud 9.4 24', 'left hand 12.6 20', '10 threads over 9/16'). No page code here.
 *
 *   decoderTold.make({index, kinds: {word: kind}, thread(text) → designation}) → told
 *   told.worry(text) → null, or an offer as identify-reading.js has them with `cautions`: codes of the index's warnings,
 *                      which are the answer to it
 *       .trial(text) → null, or an offer: what a known part did on it, without a count of turns
 *       .around(text) → null, or {rest, put, says}: what the words round the rest say; `rest` may be ''
 *       .things(text) → [{text}, {text, put, says}]   the text in pieces: what words of it say by themselves, and what is
 *                      left between
 *       .turns(text) → whether words that nobody read may turn the meaning round
 *       .figures(text) → the text with sizes in words written as figures: 'half inch whit' → '1/2 whit'
 */
(function () {
  "use strict";

  var LOOSE = /loose|runs? (?:right |straight )?on|wobbl|slack|slopp|rattl|rocks?\b/;
  var TIGHT = /tight|binds?|bound|stuck|jam|stops|hard to turn|leak|weep/;
  var PIPE = /brake|fuel|clutch|pipe|union|flare|tube|hose/;
  var STRONG = /strong|strength|grade|tensile|hard\b|what class/;
  var BLANK = /blank|plain|bare|unmarked|no (?:head )?mark|nothing on/;
  var MISSES = /miss|line[sd]? up|lining up|align|match|past|between|half a|not in the hole|overshot|next slot/;
  var SLOTTED = /slot|castle|castellat|split ?pin|cotter|pin ?hole|hub ?nut|hole/;

  var WORRIES = [
    {
      is: function (text) { return SLOTTED.test(text) && MISSES.test(text) && /nut|pin|hub|slot/.test(text); },
      says: "a slot that misses its pin hole", put: {kind: "castellated nut"}, cautions: ["castellated-nut", "safety"],
    },
    {
      is: function (text) { return /(?:wheel|lug|road ?wheel)/.test(text) && /nut|bolt|stud/.test(text) && LOOSE.test(text); },
      says: "a wheel nut that runs on loosely", put: {kind: "wheel nut"}, cautions: ["loose-wheel-nut", "safety"],
    },
    {
      is: function (text) { return /stainless|\ba[24]\b/.test(text) && /\s/.test(text) && !/\d\s*(?:mm|in|tpi)|[x×]\d/.test(text); },
      says: "a part of stainless steel", put: {material: "stainless"}, cautions: ["stainless"],
    },
    {
      is: function (text) { return PIPE.test(text) && TIGHT.test(text); },
      says: "a pipe nut that goes tight", put: {kind: "union"}, cautions: ["brake-pipe", "safety"],
    },
    {
      is: function (text) { return BLANK.test(text) && STRONG.test(text); },
      says: "a head without a mark, and how strong it is", put: {head_marks: "none"}, cautions: ["no-mark-no-strength"],
    },
    {
      is: function (text) { return /^(?:is it |how |what )/.test(text) && STRONG.test(text); },
      says: "how strong it is: that takes its mark", put: {}, cautions: ["no-mark-no-strength", "colour-is-not-grade"],
    },
    {
      is: function (text) {
        return /yellow|gold|black|silver|chrome|zinc|cadmium|colou?r/.test(text) && (STRONG.test(text) || /\b\d{1,2}\.\d\b/.test(text));
      },
      says: "a colour, and a strength", put: {}, cautions: ["colour-is-not-grade"],
    },
  ];

  var THREAD = /\bm ?\d+(?:\.\d+)? ?[x×] ?\d+(?:\.\d+)?|\b\d{1,2} ?ba\b|\b\d+(?:-\d+)?\/\d+ ?(?:- ?\d+ ?)?(?:unf|unc|bsf|bsw|bsc)/;
  var DID = [
    [/(?:will|does|would|wo|did)(?:n['’]?t| not) (?:start|go on|go in|enter)|not start/, "will not start", "would not start"],
    [/wobbl|rocks?\b|slopp|slack/, "wobbles", "ran on and wobbled"],
    [/(?:runs?|ran|goes|went|screws?) (?:right |straight |all the way |fully )?(?:on|in)\b/, "runs on", "ran right on"],
  ];

  var HEADS = {
    "csk": "countersunk", "countersunk": "countersunk", "cheese head": "cheese", "cheesehead": "cheese", "pan head": "pan",
    "round head": "round", "mushroom head": "mushroom", "button head": "socket-button", "cap head": "socket-cap",
    "socket cap": "socket-cap", "allen": "socket-cap", "flange head": "hexagon-flange", "flanged": "hexagon-flange",
    "coach": "round-square-neck", "grub": "grub",
  };
  var NUTS = {
    "nylon": "nylon-insert", "dome": "dome", "domed": "dome", "acorn": "dome", "flange": "flange", "square": "square",
    "wing": "wing", "thin": "thin", "jam": "thin", "lock": "thin", "castle": "castellated", "slotted": "slotted",
  };
  var HAND = /\b(?:(left|right)[ -]?hand(?:ed)?|(l|r)\/?h)\b/;
  var COUNTED = /^(\d{1,3}) (threads|crests|gaps|pitches|turns) (?:over|in|to) (?:an? )?(.+)$/;

  var FIGURES = [
    [/\bthree[ -]quarters?\b/g, "3/4"], [/\bthree[ -]eighths?\b/g, "3/8"], [/\bfive[ -]eighths?\b/g, "5/8"],
    [/\bfive[ -]sixteenths?\b/g, "5/16"], [/\bseven[ -]sixteenths?\b/g, "7/16"], [/\bthree[ -]sixteenths?\b/g, "3/16"],
    [/\bnine[ -]sixteenths?\b/g, "9/16"], [/\b(?:a )?half\b(?![ -]?moon)/g, "1/2"], [/\b(?:a )?quarter\b/g, "1/4"],
    [/\bone inch\b/g, "1 in"], [/\binch(?:es)?\b/g, "in"], [/ in (?=whit|bsw|bsf|unf|unc|cycle|brass|fine|coarse)/g, " "],
  ];

  /** Things that words say by themselves wherever they stand in a line. */
  var JAW = "(\\d+(?:[.,-]\\d+)?(?:\\/\\d+)?(?: ?(?:mm|in|af|a\\/f|w|whit|bs|bsf|ba))?)";
  var THINGS = [
    {
      is: new RegExp("(?:^| )" + JAW + " ?(?:spanner|wrench|socket)s?\\b"),
      put: function (found) { return {spanner: found[1]}; }, says: function (found) { return "spanner " + found[1]; },
    },
    {
      is: new RegExp("(?:^| )(?:spanner|wrench|socket) (?:size )?" + JAW + "(?= |$)"),
      put: function (found) { return {spanner: found[1]}; }, says: function (found) { return "spanner " + found[1]; },
    },
    {
      is: /(?:^| )([\d.,]+(?:\/\d+)? ?(?:mm|in)) (?:af|a\/f|across (?:the )?flats)\b/,
      put: function (found) { return {across_flats: found[1]}; },
    },
    {is: /\bstainless(?: steel)?\b/, put: function () { return {material: "stainless"}; }},
    {is: /\bbrass\b/, put: function () { return {material: "brass"}; }},
    {is: /\balumini?um\b/, put: function () { return {material: "aluminium"}; }},
    {is: /\b(?:rusty|rusted|corroded)\b/, put: function () { return {condition: "rusty"}; }},
    {is: /\bworn\b/, put: function () { return {condition: "worn"}; }},
    {is: /\bpainted\b/, put: function () { return {condition: "painted"}; }},
    {is: /\bplated\b/, put: function () { return {condition: "plated"}; }},
  ];

  /** Left unread, these may say the opposite of the rest. */
  var TURNS = /\b(?:in|on|into|onto|off|not|no|without|but|or|than|too|never|neither|binds?|bound|runs?|goes|starts?|tight|loose|sticks?|stuck|fits?|wobbl\w*)\b|n['’]t/;

  function make(about) {
    var index = about.index;
    var words = Object.keys(about.kinds).concat(Object.keys(index.kinds)).sort(function (a, b) { return b.length - a.length; });

    function worry(text) {
      var found = WORRIES.filter(function (each) { return each.is(text); })[0];
      return found ? {says: found.says, put: found.put, cautions: found.cautions} : null;
    }

    function trial(text) {
      var named = THREAD.exec(text);
      var did = DID.filter(function (each) { return each[0].test(text); })[0];
      if (!named || !did) return null;
      var designation = about.thread(named[0]);
      var put = {trials: [designation, did[1], ""].join(";")};
      // The known nut is what was tried on; the part in the hand is the other one.
      if (/\bbolt (?:in|into)\b|\bin (?:my|the|this) nut\b/.test(text)) put.kind = "nut";
      return {says: designation + " " + did[2], put: put};
    }

    function take(left, pattern) { return left.replace(pattern, " ").replace(/\s+/g, " ").trim(); }

    function around(text) {
      var put = {};
      var says = [];
      var rest = text;
      var hand = HAND.exec(rest);
      if (hand) {
        put.hand = /^l/.test(hand[1] || hand[2]) ? "left" : "right";
        says.push(put.hand + " hand");
        rest = take(rest, HAND);
      }
      Object.keys(NUTS).forEach(function (word) {
        var pattern = new RegExp("\\b" + word + "(?:-?insert)? nut\\b");
        if (put.nut_kind || !pattern.test(rest) || !index.nut_tops[NUTS[word]]) return;
        put.kind = NUTS[word] === "castellated" || NUTS[word] === "slotted" ? "castellated nut" : "nut";
        put.nut_kind = NUTS[word];
        says.push(word + " nut");
        rest = take(rest, pattern);
      });
      Object.keys(HEADS).forEach(function (word) {
        var pattern = new RegExp("\\b" + word + "(?: ?head(?:ed)?)?\\b");
        if (put.head || !pattern.test(rest)) return;
        put.head = HEADS[word];
        says.push(word.replace(/ ?head$/, "") + " head");
        rest = take(rest, pattern);
      });
      words.forEach(function (word) {
        var pattern = new RegExp("(?:^|\\s)" + word + "(?=\\s|$)");
        if (put.kind || !pattern.test(rest)) return;
        put.kind = about.kinds[word] || word;
        says.push(put.kind);
        rest = take(rest, pattern);
      });
      var counted = COUNTED.exec(rest);
      if (counted) {
        put.threads = counted[1];
        put.over = counted[3] === "inch" || counted[3] === "in" ? "1 in" : /[a-z"″]/.test(counted[3]) || counted[3].indexOf("/") < 0 ? counted[3] : counted[3] + " in";
        if (counted[2] === "crests") put.counted = "crests";
        if (counted[2] === "gaps" || counted[2] === "pitches") put.counted = "pitches";
        says.push(counted[1] + " " + counted[2] + " over " + put.over);
        rest = "";
      }
      return says.length ? {rest: rest, put: put, says: says.join(", ")} : null;
    }

    function things(text) {
      var pieces = [{text: text}];
      THINGS.forEach(function (thing) {
        pieces = pieces.reduce(function (all, piece) {
          var found = !piece.put && thing.is.exec(piece.text);
          if (!found) return all.concat(piece);
          var put = thing.put(found);
          return all.concat([{text: piece.text.slice(0, found.index).trim()},
            {text: found[0].trim(), put: put, says: thing.says ? thing.says(found) : found[0].trim()},
            {text: piece.text.slice(found.index + found[0].length).trim()}]);
        }, []);
      });
      return pieces.filter(function (piece) { return piece.text; });
    }

    function turns(text) { return TURNS.test(text); }

    function figures(text) {
      return FIGURES.reduce(function (left, pair) { return left.replace(pair[0], pair[1]); }, text);
    }

    return {worry: worry, trial: trial, around: around, figures: figures, things: things, turns: turns};
  }

  window.decoderTold = {make: make};
})();
