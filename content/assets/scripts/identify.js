/*
 * Tells what a fastener can be from what a person sees and measures. The twin of the Python package
 * `decoder.identification`: both read the same index and must give the same answer, so neither holds a number of its own
 * that the index can hold. No page code here, no request, no framework; a classic script, so it also works from file://.
 *
 *   decoderIdentify.load(index)                        index: the object in the index file. Returns decoderIdentify.
 *   decoderIdentify.identify(observations, options)    → answer
 *   decoderIdentify.next(observations, options)        → answer.next alone, for showing the answer first
 *   options (all optional): {next: false}              leave `next` out of the answer (then [])
 *                           {vehicle: part}            a vehicle's search part, see below
 *
 * The index comes as `identify-index.json`, and as `identify-index.js`, which sets `window.decoderIndex`.
 *
 * OBSERVATIONS  every key may be missing or null: 'I cannot tell' is always an answer. Lengths are millimetres.
 *   has_thread      true | false
 *   kind            a name of index.kinds: 'bolt', 'screw', 'stud', 'nut', 'union', 'plug', 'grease nipple', 'washer', 'pin' …
 *   diameter        {mm, tolerance_mm, instrument, system}   outside diameter of the thread. tolerance_mm: the ± the person
 *                   gave, null takes the instrument's. instrument: a name of index.instruments:
 *                   'digital calipers' (taken when null) | 'vernier calipers' | 'micrometer' | 'rule' | 'name' | 'eye'.
 *                   system is passed over: answers name both.
 *   minor_diameter  {mm, tolerance_mm, instrument}   bore of a nut or tapped hole, across the crests
 *   pitch           {mm, tolerance_mm, method, threads_per_inch}   method: 'leaf' (taken when null; the leaf that fitted) |
 *                   'known bolt' (laid crest to crest against one) | 'stated' (with tolerance_mm)
 *                   threads_per_inch only for wording ('24 tpi'), null when the pitch was given in millimetres
 *   count           {threads, over_mm, counted, tolerance_mm, instrument}   counted: 'crests' | 'pitches' | null (not known which)
 *   trials          [{with, outcome, turns}]   a known nut (or bolt, when the kind is a nut) tried on.
 *                   with: designation as printed ('M10x1.25'); outcome: 'will not start' | 'binds' (with turns) | 'runs on' | 'wobbles'
 *   flank_angle     {degrees, tolerance_degrees}
 *   crest           'flat' | 'rounded'
 *   across_flats    {mm, tolerance_mm, instrument}
 *   spanner         {jaw_mm, marking}   the spanner that fits; index.spanners lists both
 *   head_height     {mm, tolerance_mm, instrument}
 *   length          {mm, tolerance_mm, instrument}
 *   head            a name of index.heads: the shape of the head
 *   nut_top         a name of index.nut_tops: the kind of nut, known by its top
 *   drive           a name of index.drives
 *   head_marks      [mark id]   index.marks lists the ids known; ['none'] says the head was looked at and is blank
 *   nut_marks       [mark id]
 *   material        a name of index.materials ('steel', 'stainless', 'brass', 'aluminium', 'titanium', 'plastic' …)
 *   finish          a name of index.finishes ('zinc', 'cadmium', 'black', 'painted', 'plain' …)
 *   hand            'left' | 'right'
 *   condition       'new' | 'plated' | 'worn' | 'rusty' | 'painted'
 *   vehicle, assembly   the odds come with options.vehicle; those of the assembly named here count more
 *   has             [tool]   what the person has, so that `next` asks for nothing else; null: anything
 *                   names of index.tools: 'calipers' | 'rule' | 'leaf gauge' | 'known nuts' | 'spanners' | 'magnifier'
 *   cannot          [observation key]   what the person cannot make out; `next` does not ask for it, nor for its tool
 *
 * ANSWER  the same keys as `decoder identify --json`
 *   candidates      [{designation, family, slug, probability, words, major_mm, pitch_mm, for: [text], against: [text], joints: [id]}]
 *                   most probable first; words: 'almost certain' | 'likely' | 'could be' | 'unlikely'
 *   none_of_these   probability that it is none of the table's threads
 *   certainty       {words, text}   one line for the head of the page; words may be 'cannot tell'
 *   strength        null, or {claim, certainty, text}
 *   strength_text   what may be said about strength in either case, never empty
 *   warnings        [{code, text, designations}]   designations: the look-alike pair it speaks of, or []
 *   next            [{observe, bits, how, with}]   best first; observe: the key above that would be filled; with: for
 *                   'trials' the thread of the known nut or bolt to try, else null
 *   contradiction   null, or {odd_one_out, text}   odd_one_out: an observation key, or null where no single one is to blame
 *
 * VEHICLE PART  {vehicle, title, joints: [{id, title, assembly, threads: [designation], count}]}
 *   raises the odds of the threads used there (those of the assembly named among the observations more), never the others' to nothing, and fills `joints`.
 */
(function (root) {
  'use strict';

  // ---- Numbers: the same formulae, in the same order, as decoder/identification/numbers.py ----

  var SQRT_HALF = Math.sqrt(0.5);
  var SQRT_2PI = Math.sqrt(2 * Math.PI);

  /** Error function, Abramowitz and Stegun 7.1.26, absolute error below 1.5e-7. */
  function erf(x) {
    var a = Math.abs(x);
    var t = 1.0 / (1.0 + 0.3275911 * a);
    var series = ((((1.061405429 * t - 1.453152027) * t + 1.421413741) * t - 0.284496736) * t + 0.254829592) * t;
    var value = 1.0 - series * Math.exp(-a * a);
    return x >= 0 ? value : -value;
  }

  function normalCdf(z) {
    if (z > 8.0) return 1.0;
    if (z < -8.0) return 0.0;
    return 0.5 * (1.0 + erf(z * SQRT_HALF));
  }

  /** A number with that many places, halves away from zero. */
  function fixed(value, places) {
    var scale = Math.pow(10, places);
    var whole = Math.floor(Math.abs(value) * scale + 0.5 + 1e-9);
    var sign = value < 0 && whole > 0 ? '-' : '';
    if (places === 0) return sign + whole;
    var rest = String(whole % scale);
    while (rest.length < places) rest = '0' + rest;
    return sign + Math.floor(whole / scale) + '.' + rest;
  }

  /** As fixed, without zeros at the end. */
  function short(value, places) {
    var text = fixed(value, places);
    return text.indexOf('.') < 0 ? text : text.replace(/0+$/, '').replace(/\.$/, '');
  }

  function fill(template, words) {
    Object.keys(words).forEach(function (name) {
      template = template.split('{' + name + '}').join(words[name]);
    });
    return template;
  }

  function sum(values) {
    var total = 0;
    for (var k = 0; k < values.length; k++) total += values[k];
    return total;
  }

  function largest(values) {
    var top = -Infinity;
    for (var k = 0; k < values.length; k++) if (values[k] > top) top = values[k];
    return top;
  }

  function byText(a, b) {
    return a < b ? -1 : a > b ? 1 : 0;
  }

  // ---- The index ----

  var SIZES = [
    'male_major_from', 'male_major_to', 'male_pitch_from', 'male_pitch_to', 'male_minor_to',
    'female_major_from', 'female_pitch_from', 'female_pitch_to', 'female_minor_from', 'female_minor_to',
  ];

  var FORMAT = 2;
  var VERDICTS = ['runs on', 'binds', 'will not start', 'drops through'];

  function Index(data) {
    if (!data || data.format !== FORMAT) {
      throw new Error('this index has format ' + (data && data.format) + ', the program reads ' + FORMAT);
    }
    var threads = data.threads;
    this.data = data;
    this.model = data.model;
    this.texts = data.texts;
    this.families = data.families.map(function (row) {
      return { name: row.name, group: data.groups[row.group], angle: row.angle, rounded: row.rounded };
    });
    var families = this.families;
    this.designation = threads.designation;
    this.family = threads.family.map(function (number) { return families[number]; });
    this.major = threads.major;
    this.tpi = threads.tpi;
    this.pitch = threads.tpi.map(function (tpi, i) { return tpi ? 25.4 / tpi : threads.pitch[i]; });
    this.logPitch = this.pitch.map(Math.log);
    this.odds = threads.odds;
    this.sizes = threads.major.map(function (major, i) {
      var sizes = {};
      SIZES.forEach(function (name) { sizes[name] = major - threads[name][i] / 1000; });
      return sizes;
    });
    this.hexagons = data.hexagons.map(function (row) { return row.map(function (value) { return value / 1000; }); });
    this.parts = data.parts;
    this.pairs = pairsOf(data.pairs);
    this.leaves = data.leaves;
    this.logLeaves = data.leaves.map(Math.log);
    this.leafSpacing = (this.logLeaves[this.logLeaves.length - 1] - this.logLeaves[0]) / (this.leaves.length - 1);
    // Threads share pitches: every pitch once, and for each thread the place of its own.
    var places = new Map();
    var distinct = this.distinct = [];
    var pitch = this.pitch;
    this.pitchPlace = this.logPitch.map(function (log, i) {
      if (!places.has(log)) {
        places.set(log, distinct.length);
        distinct.push({ log: log, pitch: pitch[i] });
      }
      return places.get(log);
    });
    var index = this;
    distinct.forEach(function (entry) {
      var m = index.model;
      var nearest = Math.min.apply(null, index.logLeaves.map(function (log) { return Math.abs(log - entry.log); }));
      entry.leaves = m.error_scales.map(function (scale) {
        var sums = { stretch: Math.max(scale[1], nearest / (m.leaf_near * m.leaf_error)), sharp: 0.0, blurred: 0.0 };
        index.logLeaves.forEach(function (logLeaf) {
          var step = (logLeaf - entry.log) / sums.stretch;
          var near = step / m.leaf_error;
          var far = step / m.leaf_rough_error;
          sums.sharp += Math.exp(-0.5 * (near * near));
          sums.blurred += Math.exp(-0.5 * (far * far));
        });
        return sums;
      });
    });
    this.meanScale = sum(this.model.error_scales.map(function (scale) { return scale[0] * scale[1]; }));
    this.number = new Map(this.designation.map(function (designation, i) { return [designation, i]; }));
    this.size = this.major.length;
  }

  /** Look-alikes of every thread: what happens to a bolt of it in the other's nut, and the other way round. */
  function pairsOf(columns) {
    var pairs = new Map();
    function add(one, other, into, take, high) {
      if (!pairs.has(one)) pairs.set(one, []);
      pairs.get(one).push({ other: other, into: into, take: take, high: high });
    }
    columns.one.forEach(function (one, k) {
      var there = [VERDICTS[columns.one_in_other[k]], columns.figure_one_in_other[k]];
      var back = [VERDICTS[columns.other_in_one[k]], columns.figure_other_in_one[k]];
      add(one, columns.other[k], there, back, columns.high[k]);
      add(columns.other[k], one, back, there, columns.high[k]);
    });
    return pairs;
  }

  /** Threads whose basic major diameter lies between two sizes, as [first, one past the last]. */
  Index.prototype.between = function (low, high) {
    var first = 0;
    while (first < this.size && this.major[first] < low) first++;
    var end = first;
    while (end < this.size && this.major[end] <= high) end++;
    return [first, end];
  };

  // ---- Observations, checked ----

  var OUTCOMES = ['will not start', 'binds', 'runs on', 'wobbles'];
  var BLANK = 'none';
  var KEYS = [
    'has_thread', 'kind', 'diameter', 'minor_diameter', 'pitch', 'count', 'trials', 'flank_angle', 'crest',
    'across_flats', 'spanner', 'head_height', 'length', 'head', 'nut_top', 'drive', 'head_marks', 'nut_marks',
    'material', 'finish', 'hand', 'condition', 'vehicle', 'assembly', 'has', 'cannot',
  ];

  function ObservationError(message) {
    this.name = 'ObservationError';
    this.message = message;
    this.stack = new Error(message).stack;
  }
  ObservationError.prototype = Object.create(Error.prototype);

  function missing(value) {
    return value === null || value === undefined;
  }

  function choice(given, key, allowed) {
    var value = given[key];
    if (missing(value)) return null;
    if (allowed.indexOf(value) < 0) {
      throw new ObservationError(key + " is '" + value + "'; known are " + allowed.join(', ') + '.');
    }
    return value;
  }

  function choices(given, key, allowed) {
    var values = given[key];
    if (missing(values)) return [];
    if (!Array.isArray(values)) throw new ObservationError(key + " is '" + values + "'; expected a list.");
    values.forEach(function (value) {
      if (allowed.indexOf(value) < 0) {
        throw new ObservationError(key + " has '" + value + "'; known are " + allowed.join(', ') + '.');
      }
    });
    return values.filter(function (value, k) { return values.indexOf(value) === k; });
  }

  function typed(given, key, type, expected) {
    var value = given[key];
    if (missing(value)) return null;
    if (typeof value !== type) throw new ObservationError(key + " is '" + value + "'; expected " + expected + '.');
    return value;
  }

  // What a measure may say. The system of units is for whoever shows it; lengths are millimetres.
  var MEASURE = ['mm', 'tolerance_mm', 'instrument', 'system'];
  var PITCH = ['mm', 'tolerance_mm', 'method', 'threads_per_inch', 'system'];
  var COUNT = ['threads', 'over_mm', 'tolerance_mm', 'instrument', 'counted', 'system'];

  function part(given, key, known) {
    return missing(given[key]) ? null : objectWith(given[key], key, known);
  }

  function objectWith(value, key, known) {
    if (missing(value) || typeof value !== 'object' || Array.isArray(value)) {
      throw new ObservationError(key + " is '" + value + "'; expected an object with " + known.join(', ') + '.');
    }
    Object.keys(value).forEach(function (name) {
      if (known.indexOf(name) < 0) {
        throw new ObservationError(key + " has '" + name + "'; known are " + known.join(', ') + '.');
      }
    });
    return value;
  }

  function number(owner, key, name, least, most) {
    var value = owner[name];
    if (typeof value !== 'number' || !isFinite(value)) {
      throw new ObservationError(key + '.' + name + " is '" + value + "'; expected a number.");
    }
    if (value < least || value > most) {
      throw new ObservationError(key + '.' + name + ' is ' + value + '; expected ' + least + ' to ' + most + '.');
    }
    return value;
  }

  function optional(owner, key, name, least, most) {
    return missing(owner[name]) ? null : number(owner, key, name, least, most);
  }

  function readMeasure(given, key, index) {
    var owner = part(given, key, MEASURE);
    if (!owner) return null;
    var instrument = choice(owner, 'instrument', Object.keys(index.data.instruments)) || 'digital calipers';
    var tolerance = optional(owner, key, 'tolerance_mm', 0, 100);
    var error = index.data.instruments[instrument];
    if (tolerance !== null) error = Math.max(tolerance / index.model.tolerance_sigmas, index.model.least_error_mm);
    return { mm: number(owner, key, 'mm', 0.1, 1000), error: error };
  }

  function readPitch(given, index) {
    var owner = part(given, 'pitch', PITCH);
    if (!owner) return null;
    var m = index.model;
    var mm = number(owner, 'pitch', 'mm', 0.05, 30);
    var tolerance = optional(owner, 'pitch', 'tolerance_mm', 0, 10);
    var method = choice(owner, 'method', ['leaf', 'known bolt', 'stated']) || (tolerance === null ? 'leaf' : 'stated');
    var error = null;
    if (tolerance !== null) error = Math.max(tolerance / m.tolerance_sigmas / mm, m.least_pitch_error);
    else if (method === 'known bolt') error = m.compare_error;
    else if (method === 'stated') error = m.leaf_error;
    return { mm: mm, error: error, tpi: optional(owner, 'pitch', 'threads_per_inch', 0.5, 1000) };
  }

  function readCount(given, index) {
    var owner = part(given, 'count', COUNT);
    if (!owner) return null;
    var m = index.model;
    var instrument = choice(owner, 'instrument', Object.keys(index.data.instruments)) || 'rule';
    var tolerance = optional(owner, 'count', 'tolerance_mm', 0, 100);
    var error = instrument === 'rule' || instrument === 'eye' ? m.count_rule_mm : m.count_calipers_mm;
    if (tolerance !== null) error = Math.max(tolerance / m.tolerance_sigmas, m.least_error_mm);
    return {
      threads: number(owner, 'count', 'threads', 2, 1000),
      over: number(owner, 'count', 'over_mm', 0.5, 1000),
      error: error,
      counted: choice(owner, 'counted', ['crests', 'pitches']),
    };
  }

  function readTrials(given, index) {
    var values = given.trials;
    if (missing(values)) return [];
    if (!Array.isArray(values)) throw new ObservationError("trials is '" + values + "'; expected a list.");
    return values.map(function (value) {
      var owner = objectWith(value, 'trials', ['with', 'outcome', 'turns']);
      if (!index.number.has(owner['with'])) {
        throw new ObservationError(
          "trials.with is '" + owner['with'] + "'; expected a thread of the tables, such as M8x1.25.");
      }
      var outcome = choice(owner, 'outcome', OUTCOMES);
      if (outcome === null) {
        throw new ObservationError('trials.outcome is missing; known are ' + OUTCOMES.join(', ') + '.');
      }
      return {
        designation: owner['with'],
        number: index.number.get(owner['with']),
        outcome: outcome,
        turns: optional(owner, 'trials', 'turns', 0, 200),
      };
    });
  }

  function readAngle(given, index) {
    var owner = part(given, 'flank_angle', ['degrees', 'tolerance_degrees']);
    if (!owner) return null;
    var tolerance = optional(owner, 'flank_angle', 'tolerance_degrees', 0, 60);
    var error = index.model.angle_error_deg;
    if (tolerance !== null) error = Math.max(tolerance / index.model.tolerance_sigmas, index.model.least_angle_deg);
    return { degrees: number(owner, 'flank_angle', 'degrees', 20, 120), error: error };
  }

  function readSpanner(given) {
    var owner = part(given, 'spanner', ['jaw_mm', 'marking']);
    if (!owner) return null;
    return { jaw: number(owner, 'spanner', 'jaw_mm', 1, 200), marking: String(owner.marking || '') };
  }

  function read(given, index) {
    Object.keys(given).forEach(function (key) {
      if (KEYS.indexOf(key) < 0) {
        throw new ObservationError("'" + key + "' is no observation; known are " + KEYS.join(', ') + '.');
      }
    });
    var data = index.data;
    var kind = choice(given, 'kind', Object.keys(data.kinds));
    var diameter = readMeasure(given, 'diameter', index);
    var minor = readMeasure(given, 'minor_diameter', index);
    var internal = kind !== null && data.kinds[kind].member === 'internal';
    var nutTop = choice(given, 'nut_top', Object.keys(data.nut_tops));
    if (kind === null && ((diameter === null && minor !== null) || nutTop !== null)) internal = true;
    var marks = [BLANK].concat(Object.keys(data.marks));
    var conditions = Object.keys(data.conditions).filter(function (name) { return name !== 'unknown'; });
    return {
      has_thread: typed(given, 'has_thread', 'boolean', 'true or false'),
      kind: kind,
      diameter: diameter,
      minor_diameter: minor,
      pitch: readPitch(given, index),
      count: readCount(given, index),
      trials: readTrials(given, index),
      flank_angle: readAngle(given, index),
      crest: choice(given, 'crest', ['flat', 'rounded']),
      across_flats: readMeasure(given, 'across_flats', index),
      spanner: readSpanner(given),
      head_height: readMeasure(given, 'head_height', index),
      length: readMeasure(given, 'length', index),
      head: choice(given, 'head', Object.keys(data.heads)),
      nut_top: nutTop,
      drive: choice(given, 'drive', Object.keys(data.drives)),
      head_marks: choices(given, 'head_marks', marks),
      nut_marks: choices(given, 'nut_marks', marks),
      material: choice(given, 'material', Object.keys(data.materials)),
      finish: choice(given, 'finish', Object.keys(data.finishes)),
      hand: choice(given, 'hand', ['left', 'right']),
      condition: choice(given, 'condition', conditions),
      vehicle: typed(given, 'vehicle', 'string', 'its name'),
      assembly: typed(given, 'assembly', 'string', 'its name'),
      has: missing(given.has) ? null : choices(given, 'has', data.tools),
      cannot: choices(given, 'cannot', KEYS),
      internal: internal,
    };
  }

  // ---- How far a bolt goes into a nut ----

  var STEPS = [[0.1, 1 / 9], [0.3, 2 / 9], [0.5, 3 / 9], [0.7, 2 / 9], [0.9, 1 / 9]];
  var RADIANS = Math.PI / 180;

  function passes(room, tolerance, m) {
    var spread = Math.sqrt(m.fit_start_spread_mm * m.fit_start_spread_mm + tolerance * tolerance / 12.0);
    return normalCdf((room + m.fit_start_mm) / spread);
  }

  function fit(index, bolt, nut) {
    var m = index.model;
    var male = index.sizes[bolt];
    var female = index.sizes[nut];
    var pitch = index.pitch[nut];
    var outOfStep = Math.abs(index.pitch[bolt] - pitch);
    var halfBolt = Math.tan(index.family[bolt].angle / 2 * RADIANS);
    var halfNut = Math.tan(index.family[nut].angle / 2 * RADIANS);
    var slope = 0.5 * (halfBolt + halfNut);
    var lost = 0.3 * pitch * Math.abs(halfBolt - halfNut);
    var crestRoom = female.female_major_from + m.fit_root_clearance * pitch;
    crestRoom -= 0.5 * (male.male_major_from + male.male_major_to);
    var rootRoom = 0.5 * (female.female_minor_from + female.female_minor_to) - male.male_minor_to;
    var enters = passes(crestRoom, male.male_major_to - male.male_major_from, m) *
      passes(rootRoom, female.female_minor_to - female.female_minor_from, m);
    var nutTurns = m.fit_nut_height * index.major[nut] / pitch;
    var tightest = female.female_pitch_from - male.male_pitch_to;
    var loosest = female.female_pitch_to - male.male_pitch_from;
    return STEPS.map(function (step) {
      var play = tightest + step[0] * (loosest - tightest);
      var along = play * slope - lost;
      var starts = enters *
        normalCdf((along + m.fit_start_mm - m.fit_start_turns * outOfStep) / m.fit_start_spread_mm);
      var turns = Math.max(along, m.fit_start_turns * outOfStep, 1e-6) / Math.max(outOfStep, 1e-6);
      return {
        share: step[1],
        starts: starts,
        binds: normalCdf(Math.log(nutTurns / turns) / m.fit_turn_spread),
        rocks: normalCdf((play / pitch - m.fit_rocks_from) / m.fit_rocks_spread),
        turns: turns,
      };
    });
  }

  function unknownChance(index, outcome, turns) {
    var m = index.model;
    var share = m.none_trial[outcome];
    if (outcome === 'binds' && turns !== null) share /= Math.max(turns, 0.5) * Math.log(2.0 * m.none_trial_turns);
    return share;
  }

  function turnsDensity(seen, expected, spread) {
    seen = Math.max(seen, 0.5);
    var z = Math.log(seen / expected) / spread;
    return Math.exp(-0.5 * z * z) / (spread * SQRT_2PI * seen);
  }

  function chance(index, steps, outcome, turns) {
    var m = index.model;
    var total = 0.0;
    steps.forEach(function (step) {
      if (outcome === 'will not start') {
        total += step.share * (1.0 - step.starts);
      } else if (outcome === 'binds') {
        var seen = turns === null ? 1.0 : turnsDensity(turns, step.turns, m.fit_turn_spread);
        total += step.share * step.starts * step.binds * seen;
      } else if (outcome === 'runs on') {
        total += step.share * step.starts * (1.0 - step.binds) * (1.0 - step.rocks);
      } else {
        total += step.share * step.starts * (1.0 - step.binds) * step.rocks;
      }
    });
    return (1.0 - m.fit_mistaken) * total + m.fit_mistaken * unknownChance(index, outcome, turns);
  }

  // ---- Likelihoods: {key, logs (one for every thread), none, item, peaks, scaled} ----

  /** Logarithms for every scale of errors (rows), added up as often as the scales are met. */
  function overScales(rows, index) {
    var shares = index.model.error_scales.map(function (scale) { return Math.log(scale[0]); });
    var whole = new Array(rows[0].length);
    for (var i = 0; i < whole.length; i++) {
      var top = -Infinity;
      var k;
      for (k = 0; k < rows.length; k++) if (shares[k] + rows[k][i] > top) top = shares[k] + rows[k][i];
      var total = 0.0;
      for (k = 0; k < rows.length; k++) total += Math.exp(shares[k] + rows[k][i] - top);
      whole[i] = top + Math.log(total);
    }
    return whole;
  }

  /** Evidence of what errors blur, from its logs and peaks for every scale of errors; peaks are null where it has none. */
  function scaledEvidence(key, logs, peaks, none, index) {
    return {
      key: key,
      logs: overScales(logs, index),
      none: none,
      item: 0,
      peaks: peaks === null ? null : overScales(peaks, index),
      scaled: logs.map(function (row, k) { return { logs: row, peaks: peaks === null ? row : peaks[k] }; }),
    };
  }

  function logNormal(x, middle, spread) {
    var z = (x - middle) / spread;
    return Math.exp(-0.5 * z * z) / (spread * SQRT_2PI);
  }

  function evidence(seen, index) {
    var m = index.model;
    var found = [];
    var bore = seen.minor_diameter;
    var outside = seen.diameter;
    if (seen.internal && outside !== null && bore === null) {
      bore = outside;
      outside = null;
    }
    var size = outside !== null ? outside.mm : bore === null ? null : bore.mm / m.none_bore_ratio;
    if (outside !== null) found.push(outsideEvidence(outside, seen, index));
    if (bore !== null) found.push(boreEvidence(bore, index));
    if (seen.pitch !== null) found.push(pitchEvidence(seen.pitch, size, index));
    if (seen.count !== null) found.push(countEvidence(seen.count, size, index));
    seen.trials.forEach(function (trial, item) { found.push(trialEvidence(trial, seen.internal, item, index)); });
    if (seen.flank_angle !== null) found.push(angleEvidence(seen.flank_angle, index));
    if (seen.crest !== null) found.push(crestEvidence(seen.crest, index));
    var partName = partOf(seen, index);
    if (seen.across_flats !== null) {
      found.push(flatsEvidence('across_flats', seen.across_flats.mm, seen.across_flats.error, partName, size, index));
    }
    if (seen.spanner !== null) {
      found.push(
        flatsEvidence('spanner', seen.spanner.jaw - m.spanner_play_mm, m.spanner_error_mm, partName, size, index));
    }
    if (seen.head_height !== null) found.push(heightEvidence(seen.head_height, partName, size, index));
    if (seen.length !== null && !seen.internal) found.push(lengthEvidence(seen.length, index));
    return found.concat(groupEvidence(seen, index));
  }

  /** The part of the hexagon tables that is in the hand, as far as kind and shape tell; null for none of them. */
  function partOf(seen, index) {
    var data = index.data;
    var partName = seen.kind !== null ? data.kinds[seen.kind].part : seen.internal ? 'nut' : 'bolt';
    var shape = null;
    if (partName === 'bolt' && seen.head !== null) shape = data.heads[seen.head];
    if (partName === 'nut' && seen.nut_top !== null) shape = data.nut_tops[seen.nut_top];
    return (shape && shape.part) || partName;
  }

  /** Sizes of the parts of one thread: [share, middle, spread] of normal distributions, mm. */
  function sizesOf(low, high, law, index) {
    var made = index.model.made_spread * (high - low);
    var middle = 0.5 * (low + high);
    return law.map(function (row) { return [row[0], middle + row[1], Math.sqrt(made * made + row[2] * row[2])]; });
  }

  function conditionLaw(seen, index) {
    return index.data.conditions[seen.condition || (seen.finish ? index.data.finishes[seen.finish] : null) || 'unknown'];
  }

  function outsideSizes(i, seen, index) {
    var sizes = index.sizes[i];
    return sizesOf(sizes.male_major_from, sizes.male_major_to, conditionLaw(seen, index), index);
  }

  function boreSizes(i, index) {
    var sizes = index.sizes[i];
    return sizesOf(sizes.female_minor_from, sizes.female_minor_to, index.model.bore, index);
  }

  function reach(law, error, index) {
    var farthest = largest(law.map(function (row) { return Math.abs(row[1]) + 6.0 * row[2]; }));
    var widest = largest(index.model.error_scales.map(function (scale) { return scale[1]; }));
    return farthest + 8.0 * widest * error;
  }

  function outsideEvidence(measure, seen, index) {
    var far = reach(conditionLaw(seen, index), measure.error, index);
    var span = index.between(measure.mm / 1.1 - far, measure.mm * 1.1 + far);
    return measuredEvidence('diameter', measure, span, function (i) { return outsideSizes(i, seen, index); }, index);
  }

  function boreEvidence(measure, index) {
    var far = reach(index.model.bore, measure.error, index);
    var span = index.between(measure.mm * 0.95 - far, measure.mm * 1.6 + far);
    return measuredEvidence('minor_diameter', measure, span, function (i) { return boreSizes(i, index); }, index);
  }

  function measuredEvidence(key, measure, span, sizes, index) {
    var m = index.model;
    var x = measure.mm;
    var unknown = unknownSize(x, index);
    var floor = m.gross_share * unknown;
    var allLogs = [];
    var allPeaks = [];
    m.error_scales.forEach(function (scale) {
      var error = scale[1] * measure.error;
      var wide = error * m.rough_factor;
      var errors = [[1.0 - m.rough_share, error * error], [m.rough_share, wide * wide]];
      var logs = new Array(index.size).fill(Math.log(floor));
      var peaks = new Array(index.size).fill(0.0);
      for (var i = span[0]; i < span[1]; i++) {
        var density = 0.0;
        var peak = 0.0;
        var mixture = sizes(i);
        var centre = mixture[0][1];
        for (var k = 0; k < mixture.length; k++) {
          var off = x - mixture[k][1];
          var aside = centre - mixture[k][1];
          for (var e = 0; e < 2; e++) {
            var whole = mixture[k][2] * mixture[k][2] + errors[e][1];
            var height = mixture[k][0] * errors[e][0] / Math.sqrt(whole);
            density += height * Math.exp(-0.5 * off * off / whole);
            peak += height * Math.exp(-0.5 * aside * aside / whole);
          }
        }
        logs[i] = Math.log((1.0 - m.gross_share) * density / SQRT_2PI + floor);
        peaks[i] = Math.log((1.0 - m.gross_share) * peak / SQRT_2PI + floor);
      }
      allLogs.push(logs);
      allPeaks.push(peaks);
    });
    return scaledEvidence(key, allLogs, allPeaks, Math.log(unknown), index);
  }

  function unknownSize(mm, index) {
    var m = index.model;
    var evenly = 1.0 / Math.log(m.largest_mm / m.smallest_mm);
    var usual = logNormal(Math.log(mm), Math.log(m.none_size_mm), m.none_size_spread);
    return (0.9 * usual + 0.1 * evenly) / mm;
  }

  function unknownPitch(logPitch, size, index) {
    var m = index.model;
    if (size === null) {
      return logNormal(logPitch, Math.log(m.none_size_mm) + m.none_pitch_ratio, m.none_alone_spread);
    }
    return logNormal(logPitch, Math.log(size) + m.none_pitch_ratio, m.none_pitch_spread);
  }

  /** Evidence about the pitch alone: chance and best chance are functions of a pitch of index.distinct and the place of
   * a scale of errors. */
  function byPitch(key, chanceOf, bestOf, none, index) {
    var floor = index.model.leaf_gross_share * none;
    function rows(chances) {
      return index.model.error_scales.map(function (_, scale) {
        var logs = index.distinct.map(function (entry) { return Math.log(chances(entry, scale) + floor); });
        return index.pitchPlace.map(function (place) { return logs[place]; });
      });
    }
    return scaledEvidence(key, rows(chanceOf), rows(bestOf), Math.log(none), index);
  }

  function pitchEvidence(pitch, size, index) {
    var logSeen = Math.log(pitch.mm);
    var none = Math.max(unknownPitch(logSeen, size, index), 1e-9);
    if (pitch.error === null) none *= index.leafSpacing;
    return byPitch(
      'pitch',
      function (entry, scale) { return pitchChance(logSeen, entry, pitch, scale, index); },
      function (entry, scale) { return pitchChance(entry.log, entry, pitch, scale, index); },
      none,
      index
    );
  }

  function pitchChance(logSeen, entry, pitch, scale, index) {
    if (pitch.error === null) return leafChance(logSeen, entry, scale, index);
    var m = index.model;
    var error = pitch.error * m.error_scales[scale][1];
    var near = logNormal(logSeen, entry.log, error);
    var far = logNormal(logSeen, entry.log, error * m.rough_factor);
    return (1.0 - m.rough_share) * near + m.rough_share * far;
  }

  function leafChance(logLeaf, entry, scale, index) {
    var m = index.model;
    var sums = entry.leaves[scale];
    var step = (logLeaf - entry.log) / sums.stretch;
    var sharp = step / m.leaf_error;
    var blurred = step / m.leaf_rough_error;
    var near = Math.exp(-0.5 * (sharp * sharp)) / sums.sharp;
    var far = Math.exp(-0.5 * (blurred * blurred)) / sums.blurred;
    return (1.0 - m.leaf_rough_share) * near + m.leaf_rough_share * far;
  }

  function countEvidence(count, size, index) {
    var m = index.model;
    var crests = m.count_crests_share;
    if (count.counted !== null) crests = count.counted === 'crests' ? 1.0 : 0.0;
    var missed = m.count_miscounted;
    var ways = new Map();
    [[crests, count.threads - 1], [1.0 - crests, count.threads]].forEach(function (way) {
      [[-1, 0.5 * missed], [0, 1.0 - missed], [1, 0.5 * missed]].forEach(function (off) {
        var spaces = way[1] + off[0];
        if (way[0] > 0 && spaces > 0) ways.set(spaces, (ways.get(spaces) || 0.0) + way[0] * off[1]);
      });
    });
    var middle = count.threads - crests;
    var none = Math.max(unknownPitch(Math.log(count.over / Math.max(middle, 0.5)), size, index), 1e-9);
    var commonest = null;
    ways.forEach(function (share, spaces) {
      if (commonest === null || share > ways.get(commonest)) commonest = spaces;
    });
    function density(over, entry, scale) {
      var blur = count.error * m.error_scales[scale][1];
      var total = 0.0;
      ways.forEach(function (share, spaces) { total += share * logNormal(over, spaces * entry.pitch, blur); });
      return total * count.over;
    }
    return byPitch(
      'count',
      function (entry, scale) { return density(count.over, entry, scale); },
      function (entry, scale) { return density(commonest * entry.pitch, entry, scale); },
      none,
      index
    );
  }

  function trialEvidence(trial, internal, item, index) {
    var mistaken = index.model.fit_mistaken;
    var none = Math.log(unknownChance(index, trial.outcome, trial.turns));
    var own = index.major[trial.number];
    var tooLarge = (1.0 - mistaken) * (trial.outcome === 'will not start' ? 1.0 : 0.0);
    var tooSmall = (1.0 - mistaken) * (trial.outcome === 'wobbles' ? 1.0 : 0.0) * 0.2;
    if (internal) {
      var swap = tooLarge;
      tooLarge = tooSmall;
      tooSmall = swap;
    }
    var floor = mistaken * unknownChance(index, trial.outcome, trial.turns);
    var large = Math.log(tooLarge + floor);
    var small = Math.log(tooSmall + floor);
    var logs = index.major.map(function (major) { return major < own ? small : large; });
    var span = index.between(own * 0.8, own * 1.25);
    for (var i = span[0]; i < span[1]; i++) {
      var steps = internal ? fit(index, trial.number, i) : fit(index, i, trial.number);
      logs[i] = Math.log(chance(index, steps, trial.outcome, trial.turns));
    }
    return { key: 'trials', logs: logs, none: none, item: item };
  }

  function angleEvidence(angle, index) {
    var guess = index.model.angle_guess_share / 60.0;
    var sure = 1.0 - index.model.angle_guess_share;
    var logs = index.model.error_scales.map(function (scale) {
      return index.family.map(function (family) {
        return Math.log(sure * logNormal(angle.degrees, family.angle, scale[1] * angle.error) + guess);
      });
    });
    return scaledEvidence('flank_angle', logs, null, Math.log(1.0 / 40.0), index);
  }

  function crestEvidence(crest, index) {
    var m = index.model;
    var logs = index.family.map(function (family) {
      var seenRounded = family.rounded ? m.rounded_seen_rounded : m.flat_seen_rounded;
      return Math.log(crest === 'rounded' ? seenRounded : 1.0 - seenRounded);
    });
    return { key: 'crest', logs: logs, none: Math.log(0.5), item: 0 };
  }

  function flatsEvidence(key, mm, errorMm, partName, size, index) {
    var m = index.model;
    var error = Math.sqrt(errorMm * errorMm + m.hexagon_worn_mm * m.hexagon_worn_mm);
    var seenRow = index.hexagons.map(function (row) {
      return (normalCdf((mm - row[0]) / error) - normalCdf((mm - row[1]) / error)) / (row[1] - row[0]);
    });
    return listed(key, mm, seenRow, partName, m.hexagon_listed, m.hexagon_ratio, m.hexagon_spread, size, index);
  }

  function heightEvidence(measure, partName, size, index) {
    var m = index.model;
    var mm = measure.mm;
    var error = Math.sqrt(measure.error * measure.error + m.hexagon_worn_mm * m.hexagon_worn_mm);
    var seenRow = index.hexagons.map(function (row) {
      if (!(row[3] > row[2])) return 0.0;
      return (normalCdf((mm - row[2]) / error) - normalCdf((mm - row[3]) / error)) / (row[3] - row[2]);
    });
    var ratio = partName !== null && partName.indexOf('nut') === 0 ? m.nut_height_ratio : m.height_ratio;
    return listed('head_height', mm, seenRow, partName, m.height_listed, ratio, m.height_spread, size, index);
  }

  function listed(key, mm, seenRow, partName, share, ratio, spread, size, index) {
    var m = index.model;
    var rows = index.parts[partName || ''] || [];
    var logMm = Math.log(mm);
    var anything = m.hexagon_anything;
    var evenly = anything / Math.log(m.largest_mm / m.smallest_mm);
    var logs = index.major.map(function (major, i) {
      var other = ((1.0 - anything) * logNormal(logMm - Math.log(major), ratio, spread) + evenly) / mm;
      var own = rows.length ? rows[i] : [];
      if (own.length) {
        var known = sum(own.map(function (row) { return seenRow[row]; })) / own.length;
        other = share * known + (1.0 - share) * other;
      }
      return Math.log(other);
    });
    var none = size === null
      ? logNormal(logMm - Math.log(m.none_size_mm), ratio, m.none_alone_spread)
      : logNormal(logMm - Math.log(size), ratio, spread);
    return { key: key, logs: logs, none: Math.log(((1.0 - anything) * none + evenly) / mm), item: 0 };
  }

  function lengthEvidence(measure, index) {
    var m = index.model;
    var error = Math.sqrt(measure.error * measure.error + m.length_error_mm * m.length_error_mm);
    var ratio = {};
    Object.keys(m.length_step_mm).forEach(function (system) {
      var step = m.length_step_mm[system];
      var off = measure.mm - step * Math.floor(measure.mm / step + 0.5);
      ratio[system] = Math.log(
        m.length_keeps_step * logNormal(off, 0.0, error) * step + 1.0 - m.length_keeps_step);
    });
    var logs = index.tpi.map(function (tpi) { return tpi ? ratio.inch : ratio.metric; });
    return { key: 'length', logs: logs, none: 0.0, item: 0 };
  }

  function groupEvidence(seen, index) {
    var data = index.data;
    var found = [];
    // A socket head says that it has a socket: the drive is no second piece of evidence then.
    var isTold = seen.head !== null && seen.drive === data.heads[seen.head].drive;
    [
      ['kind', 'kinds'], ['head', 'heads'], ['nut_top', 'nut_tops'], ['drive', 'drives'], ['material', 'materials'],
    ].forEach(function (pair) {
      var name = seen[pair[0]];
      if (name === null || (pair[0] === 'drive' && isTold)) return;
      var entry = data[pair[1]][name];
      var odds = isOneOf(pair[1], ['kinds', 'heads', 'nut_tops']) ? entry.odds : entry;
      if (Object.keys(odds).length) found.push(byGroup(pair[0], 0, odds, index));
    });
    ['head_marks', 'nut_marks'].forEach(function (key) {
      seen[key].forEach(function (mark, item) {
        var odds = mark === BLANK ? data.blank_odds : data.marks[mark].odds;
        if (Object.keys(odds).length && !(mark === BLANK && key === 'nut_marks')) {
          found.push(byGroup(key, item, odds, index));
        }
      });
    });
    return found;
  }

  function byGroup(key, item, odds, index) {
    var logs = index.family.map(function (family) {
      return Math.log(family.group in odds ? odds[family.group] : 1.0);
    });
    return { key: key, logs: logs, none: 0.0, item: item };
  }

  // ---- Prior and posterior ----

  function prior(seen, index, vehicle) {
    var none = index.model.none_share;
    var own = vehicleShares(seen, index, vehicle);
    var weight = index.model.vehicle_weight;
    var used = (seen.kind !== null && index.data.uses[seen.kind]) || [];
    var odds = index.odds;
    if (used.length) {
      odds = odds.map(function (share) { return (1.0 - index.model.use_share) * share; });
      used.forEach(function (place) { odds[place] += index.model.use_share / used.length; });
    }
    var shares = odds.map(function (share, i) {
      if (own !== null) share = (1.0 - weight) * share + weight * own[i];
      return (1.0 - none) * share;
    });
    return { shares: shares, none: none };
  }

  function vehicleShares(seen, index, vehicle) {
    if (!vehicle) return null;
    var whole = new Array(index.size).fill(0.0);
    var assembly = new Array(index.size).fill(0.0);
    vehicle.joints.forEach(function (joint) {
      joint.threads.forEach(function (designation) {
        var place = index.number.get(designation.replace(/ LH$/, ''));
        if (place === undefined) return;
        whole[place] += joint.count;
        if (seen.assembly !== null && joint.assembly === seen.assembly) assembly[place] += joint.count;
      });
    });
    var all = sum(whole);
    var ofAssembly = sum(assembly);
    if (all <= 0) return null;
    var share = ofAssembly > 0 ? index.model.assembly_weight : 0.0;
    return whole.map(function (count, i) {
      return (1.0 - share) * count / all + (share > 0 ? share * assembly[i] / ofAssembly : 0.0);
    });
  }

  /** How badly the thread fits that fits best, all measures together; 0 where fewer than two could disagree. */
  function misfit(found, index) {
    if (found.filter(function (item) { return item.peaks; }).length < 2) return 0.0;
    var best = ofMeasures(found, index, 'peaks');
    var seen = ofMeasures(found, index, 'logs');
    var least = Infinity;
    for (var i = 0; i < best.length; i++) if (best[i] - seen[i] < least) least = best[i] - seen[i];
    return Math.max(least, 0.0);
  }

  /** What errors blur, of all measures together: one person's errors are large in all of them, or in none. */
  function ofMeasures(found, index, which) {
    return overScales(index.model.error_scales.map(function (_, scale) {
      var row = new Array(index.size).fill(0.0);
      found.forEach(function (item) {
        if (!item.scaled) return;
        var more = item.scaled[scale][which];
        for (var i = 0; i < row.length; i++) row[i] += more[i];
      });
      return row;
    }), index);
  }

  function posterior(found, start, index) {
    var m = index.model;
    var measured = ofMeasures(found, index, 'logs');
    var logs = start.shares.map(function (share, i) { return Math.log(share) + measured[i]; });
    var logNone = Math.log(start.none);
    found.forEach(function (item) {
      if (!item.scaled) for (var i = 0; i < logs.length; i++) logs[i] += item.logs[i];
      logNone += item.none;
    });
    holdBack(logs, start.shares, index);
    var highest = largest(logs);
    var ofThreads = Math.log(sum(logs.map(function (log) { return Math.exp(log - highest); }))) + highest;
    var odds = logNone - ofThreads;
    var raised = odds + m.misfit_weight / (1.0 + Math.exp(-(misfit(found, index) - m.misfit_from) / m.misfit_width));
    logNone = ofThreads + Math.max(odds, Math.min(raised, m.misfit_most));
    var top = Math.max(logNone, highest);
    var weights = logs.map(function (log) { return Math.exp(log - top); });
    var noneWeight = Math.exp(logNone - top);
    var total = sum(weights) + noneWeight;
    return {
      shares: weights.map(function (weight) { return weight / total; }),
      none: noneWeight / total,
      among: logs.map(function (log) { return log - ofThreads; }),
      start: start,
    };
  }

  /** Between two look-alikes the readings decide, and not how often each is met: see ranking.py. */
  function holdBack(logs, shares, index) {
    var m = index.model;
    var first = logs.indexOf(largest(logs));
    var rival = -1;
    (index.pairs.get(first) || []).forEach(function (pair) {
      if (shares[pair.other] < m.pair_odds_from * shares[first]) return;
      if (rival < 0 || logs[pair.other] > logs[rival]) rival = pair.other;
    });
    if (rival < 0) return;
    var apart = logs[first] - logs[rival];
    var read = apart - Math.log(shares[first] / shares[rival]);
    var most = Math.log(m.rival_odds) + 2.0 * Math.max(read - Math.log(m.rival_told_from), 0.0);
    if (apart <= most) return;
    var both = logs[first] + Math.log(1.0 + Math.exp(-apart));
    logs[first] = both - Math.log(1.0 + Math.exp(-most));
    logs[rival] = logs[first] - most;
  }

  function ranked(after, index) {
    var keys = after.among.map(function (log) { return Math.floor(log * 1e8 + 0.5); });
    return keys.map(function (_, i) { return i; }).sort(function (a, b) {
      return keys[b] - keys[a] || byText(index.designation[a], index.designation[b]);
    });
  }

  function order(after, index) {
    var least = Math.log(index.model.listed_from);
    return ranked(after, index)
      .slice(0, index.model.listed_most)
      .filter(function (i) { return after.among[i] >= least; });
  }

  function wordsFor(share, index) {
    var m = index.model;
    var said = index.texts.words;
    if (share >= m.almost_certain) return said.almost_certain;
    if (share >= m.likely) return said.likely;
    return share >= m.could_be ? said.could_be : said.unlikely;
  }

  // ---- Reasons and contradictions ----

  function pitchWords(i, index) {
    var units = index.texts.units;
    if (index.tpi[i]) return fill(units.tpi_mm, { tpi: short(index.tpi[i], 2), mm: fixed(index.pitch[i], 3) });
    return fill(units.mm_tpi, { mm: short(index.pitch[i], 3), tpi: short(25.4 / index.pitch[i], 1) });
  }

  function lengthWords(mm, index) {
    return fill(index.texts.units.length, { mm: fixed(mm, 2), inch: fixed(mm / 25.4, 3) });
  }

  function spanWords(low, high, index) {
    var words = { low: fixed(low, 2), high: fixed(high, 2), low_in: fixed(low / 25.4, 3), high_in: fixed(high / 25.4, 3) };
    return fill(index.texts.units.span, words);
  }

  function outcomeWords(outcome, turns, index) {
    var said = index.texts.outcomes;
    if (outcome === 'binds' && turns !== null) {
      return turns < 1.5 ? said.binds_one : fill(said.binds_after, { turns: short(turns, 1) });
    }
    return said[outcome];
  }

  function average(item, start) {
    var top = Math.max(item.none, largest(item.logs));
    var total = start.none * Math.exp(item.none - top);
    for (var i = 0; i < item.logs.length; i++) total += start.shares[i] * Math.exp(item.logs[i] - top);
    return Math.log(total) + top;
  }

  function reasons(i, seen, found, averages, index) {
    var least = index.model.reason_from;
    var speaks = [];
    var contradicts = [];
    found.forEach(function (item, k) {
      var weight = item.logs[i] - averages[k];
      if (weight > least) speaks.push([weight, sentence(i, item, true, seen, index)]);
      else if (weight < -least) contradicts.push([-weight, sentence(i, item, false, seen, index)]);
    });
    return [speaks, contradicts].map(function (weighed) {
      return weighed
        .sort(function (a, b) { return Math.floor(b[0] * 1e6 + 0.5) - Math.floor(a[0] * 1e6 + 0.5); })
        .map(function (pair) { return pair[1]; });
    });
  }

  function sentence(i, item, isFor, seen, index) {
    var texts = index.texts.reasons[item.key];
    if (item.key === 'diameter' || item.key === 'minor_diameter') {
      var outside = item.key === 'diameter';
      var measure = outside || seen.minor_diameter === null ? seen.diameter : seen.minor_diameter;
      var sizes = index.sizes[i];
      var low = outside ? sizes.male_major_from : sizes.female_minor_from;
      var high = outside ? sizes.male_major_to : sizes.female_minor_to;
      var side = isFor ? 'for' : measure.mm > high ? 'over' : 'under';
      return fill(texts[side], { seen: lengthWords(measure.mm, index), span: spanWords(low, high, index) });
    }
    return fill(texts[isFor ? 'for' : 'against'], sentenceWords(i, item, seen, index));
  }

  function sentenceWords(i, item, seen, index) {
    var units = index.texts.units;
    if (item.key === 'pitch') {
      var said = seen.pitch.tpi !== null
        ? fill(units.tpi, { tpi: short(seen.pitch.tpi, 2) })
        : fill(units.mm, { mm: short(seen.pitch.mm, 3) });
      return { seen: said, own: pitchWords(i, index) };
    }
    if (item.key === 'count') {
      return { seen: short(seen.count.threads, 1), over: lengthWords(seen.count.over, index), own: pitchWords(i, index) };
    }
    if (item.key === 'trials') {
      var trial = seen.trials[item.item];
      return { with: trial.designation, outcome: outcomeWords(trial.outcome, trial.turns, index) };
    }
    if (item.key === 'flank_angle') {
      return { seen: short(seen.flank_angle.degrees, 1), own: short(index.family[i].angle, 1) };
    }
    return { seen: seenWords(item, seen, index) };
  }

  function seenWords(item, seen, index) {
    if (item.key === 'head_marks' || item.key === 'nut_marks') {
      var mark = seen[item.key][item.item];
      return mark === BLANK ? index.texts.names.blank : index.data.marks[mark].title;
    }
    if (item.key === 'spanner') {
      return seen.spanner.marking || fill(index.texts.units.mm, { mm: short(seen.spanner.jaw, 2) });
    }
    var value = seen[item.key];
    if (item.key === 'head' || item.key === 'nut_top') return value.split('-').join(' ');
    return ['across_flats', 'head_height', 'length'].indexOf(item.key) >= 0 ? lengthWords(value.mm, index) : value;
  }

  function contradiction(found, after, index) {
    var m = index.model;
    var firm = found.filter(function (item) { return m.firm.indexOf(item.key) >= 0; });
    if (firm.length < 2) return null;
    var all = firm.map(misfits);
    if (leastOf(all) < m.contradiction_from) return null;
    var said = index.texts.contradiction;
    var names = index.texts.names;
    var mended = [];
    firm.forEach(function (_, leftOut) {
      if (leastOf(all.filter(function (_, k) { return k !== leftOut; })) < m.contradiction_mended) mended.push(leftOut);
    });
    if (mended.length === 1 && firm.length > 2) {
      var odd = firm[mended[0]];
      var without = posterior(found.filter(function (item) { return item !== odd; }), after.start, index);
      var first = ranked(without, index)[0];
      return {
        odd_one_out: odd.key,
        text: fill(said.odd, { name: names[odd.key], first: index.designation[first] }),
      };
    }
    var listed = firm.map(function (item) { return names[item.key]; });
    listed = listed.filter(function (name, k) { return listed.indexOf(name) === k; });
    return { odd_one_out: null, text: fill(said.any, { names: listed.join(', ') }) };
  }

  /** For every thread, how much less probable the observation is than the best one would be. */
  function misfits(item) {
    var top = largest(item.logs);
    return item.logs.map(function (log, i) { return (item.peaks ? item.peaks[i] : top) - log; });
  }

  function leastOf(rows) {
    var least = Infinity;
    for (var i = 0; i < rows[0].length; i++) {
      var total = 0.0;
      for (var k = 0; k < rows.length; k++) total += rows[k][i];
      if (total < least) least = total;
    }
    return least;
  }

  // ---- Warnings ----

  function withoutThread(seen, index) {
    return seen.has_thread === false || (seen.kind !== null && !index.data.kinds[seen.kind].threaded);
  }

  /** Kinds that cut a thread of their own. */
  var OWN_THREAD = ['self-tapping screw', 'wood screw'];

  function cautions(seen, after, shown, index) {
    var warnings = [];
    function add(code, designations, words) {
      var text = fill(index.texts.warnings[code], words || {});
      if (warnings.every(function (warning) { return warning.text !== text; })) {
        warnings.push({ code: code, text: text, designations: designations || [] });
      }
    }
    function has(first, second) {
      return warnings.some(function (warning) {
        var pair = warning.designations;
        return pair.length === 2 && isOneOf(first, pair) && isOneOf(second, pair);
      });
    }
    var threaded = !withoutThread(seen, index);
    if (threaded) {
      aboutTheReading(seen, shown, add, index);
      aboutLookAlikes(after, shown, add, has, index);
    } else if (!isOneOf(seen.kind, OWN_THREAD)) {
      add('no-thread');
    }
    aboutMarks(seen, after, shown, add, index);
    aboutThePart(seen, add);
    if (threaded && after.none > index.model.cannot_tell) add('none-likely');
    return warnings;
  }

  function isOneOf(value, values) {
    return values.indexOf(value) >= 0;
  }

  function aboutTheReading(seen, shown, add, index) {
    if (seen.internal && seen.diameter !== null) add('nut-diameter-is-bore');
    if (seen.count !== null && seen.count.counted === null) add('crests-or-spaces');
    if (seen.diameter !== null && !seen.internal && shown.length) {
      var first = index.designation[shown[0]];
      var high = index.sizes[shown[0]].male_major_to;
      if (seen.diameter.mm - seen.diameter.error > high && seen.diameter.mm < high + 0.5) {
        add('over-nominal', [first], { first: first, seen: lengthWords(seen.diameter.mm, index), high: lengthWords(high, index) });
      }
    }
    var outcomes = seen.trials.map(function (trial) { return trial.outcome; });
    if (isOneOf('binds', outcomes) || isOneOf('will not start', outcomes)) {
      add(isOneOf(seen.kind, ['union', 'banjo bolt', 'bleed screw']) ? 'brake-pipe' : 'do-not-force');
    }
    if (isOneOf('runs on', outcomes) || isOneOf('wobbles', outcomes)) {
      if (isOneOf(seen.kind, ['wheel nut', 'wheel bolt'])) add('loose-wheel-nut');
      add('loose-fit-proves-nothing');
    }
    var measured = seen.diameter || seen.minor_diameter || seen.pitch || seen.count || seen.trials.length;
    if (seen.spanner !== null && !measured && !seen.internal && seen.head === null) aboutTheSpanner(seen.spanner, add, index);
    if ((seen.across_flats !== null || seen.spanner !== null) && !measured) add('flats-never-fix-a-thread');
    if (seen.spanner !== null && index.data.spanners.some(function (row) {
      return row[0] === seen.spanner.marking && isOneOf(row[3], ['Whitworth', 'BA']);
    })) add('spanner-names-bolt');
  }

  /** What people look for when all they know is the spanner: see cautions.py. */
  function aboutTheSpanner(spanner, add, index) {
    var own = index.model.spanner_own_mm;
    var loose = index.model.spanner_loose_mm;
    var jaw = spanner.jaw;
    var usual = withHeads('bolt: hexagon', jaw - own, jaw + own, index);
    var flanged = withHeads('bolt: hexagon-flange', jaw - own, jaw + own, index)
      .filter(function (thread) { return !isOneOf(thread, usual); }).slice(0, 2);
    var rocks = withHeads('bolt: hexagon', jaw - loose[1], jaw - loose[0], index).slice(0, 2);
    if (!usual.length || !spanner.marking) return;
    var texts = index.texts.spanner;
    var more = '';
    if (flanged.length) more += fill(texts.flange, { threads: flanged.join(index.texts.next.or) });
    if (rocks.length) more += fill(texts.loose, { threads: rocks.join(index.texts.next.or) });
    add('spanner-alone', [usual[0]], { seen: spanner.marking, first: usual[0], more: more });
  }

  /** Threads that have a head of such a width, those met most often first. */
  function withHeads(part, from, to, index) {
    var found = [];
    (index.parts[part] || []).forEach(function (rows, i) {
      if (rows.some(function (row) { return from <= index.hexagons[row][1] && index.hexagons[row][1] <= to; })) found.push(i);
    });
    found.sort(function (a, b) { return index.odds[b] - index.odds[a] || byText(index.designation[a], index.designation[b]); });
    return found.map(function (i) { return index.designation[i]; });
  }

  function aboutLookAlikes(after, shown, add, has, index) {
    var m = index.model;
    var likely = shown.filter(function (i) { return after.shares[i] >= m.warn_from; }).slice(0, 6);
    likely.forEach(function (i, place) {
      likely.slice(place + 1).forEach(function (j) { sameByMeasure(i, j, false, add, index); });
    });
    function any(tpis, major) {
      return likely.some(function (i) { return isOneOf(index.tpi[i], tpis) && Math.abs(index.major[i] - major) < 0.01; });
    }
    if (any([12, 13], 12.7)) {
      var halves = likely.map(function (i) { return index.designation[i]; });
      add('half-inch-12-13', halves.filter(function (name) { return name.indexOf('1/2-') === 0; }));
    }
    if (any([26, 28], 6.35)) add('quarter-26-28');
    if (any([12, 14], 25.4)) add('inch-12-14');
    if (likely.some(function (i) { return index.family[i].group === 'pipe'; })) add('pipe-named-by-bore');
    if (likely.some(function (i) { return isOneOf(index.family[i].name, ['R', 'NPT', 'NPTF']); })) add('taper');
    var unread = likely.filter(function (i) { return isOneOf(index.family[i].name, index.data.without_limits); });
    if (unread.length) {
      var named = index.designation[unread[0]];
      add('limits-stand-in', [named], { first: named });
    }
    likely.slice(0, 2).forEach(function (i) {
      if (after.shares[i] >= m.pairs_from) aboutOthers(i, add, has, index);
    });
  }

  function isSame(i, j, index) {
    var m = index.model;
    return Math.abs(index.pitch[i] - index.pitch[j]) <= m.same_pitch_share * index.pitch[i] &&
      Math.abs(index.major[i] - index.major[j]) <= m.same_major_share * index.major[i];
  }

  function sameByMeasure(i, j, onlyAngle, add, index) {
    if (!isSame(i, j, index)) return;
    var pair = [index.designation[i], index.designation[j]].sort(byText);
    var angle = index.family[index.number.get(pair[0])].angle;
    var other = index.family[index.number.get(pair[1])].angle;
    var words = { first: pair[0], second: pair[1], pair: bothWays(index.number.get(pair[0]), index.number.get(pair[1]), index) };
    if (angle !== other) {
      words.angles = short(angle, 1) + '° / ' + short(other, 1) + '°';
      add('angle-55-60', pair, words);
    } else if (!onlyAngle) {
      add('same-thread-otherwise', pair, words);
    }
  }

  function aboutOthers(i, add, has, index) {
    var m = index.model;
    var far = Math.max(m.pair_far_mm, m.pair_far_share * index.major[i]);
    var found = [];
    (index.pairs.get(i) || []).forEach(function (pair) {
      var j = pair.other;
      sameByMeasure(i, j, true, add, index);
      var apart = Math.abs(index.major[i] - index.major[j]);
      if (isSame(i, j, index) || apart > far || index.odds[j] < m.pair_odds_from * index.odds[i]) return;
      var near = Math.exp(-apart / m.pair_near_mm);
      found.push({ weight: Math.sqrt(index.odds[j]) * near * (pair.high ? 1.0 : m.pair_medium_weight), pair: pair });
    });
    found.sort(function (a, b) {
      return Math.floor(b.weight * 1e12 + 0.5) - Math.floor(a.weight * 1e12 + 0.5) ||
        byText(index.designation[a.pair.other], index.designation[b.pair.other]);
    });
    var told = [];
    found.forEach(function (row) {
      var j = row.pair.other;
      if (told.length >= m.pairs_most || told.some(function (other) { return isSame(j, other, index); })) return;
      told.push(j);
      tellPair(i, row.pair, add, has, index);
    });
  }

  function tellPair(i, pair, add, has, index) {
    var j = pair.other;
    var first = index.designation[i];
    var second = index.designation[j];
    if (has(first, second)) return;
    var groups = [index.family[i].group, index.family[j].group];
    var code = isOneOf('association', groups) && isOneOf('metric', groups) ? 'ba-metric' : 'lookalike';
    add(code, [first, second], { pair: bothWays(i, j, index) });
  }

  /** What a bolt of each does in a nut of the other, in words. */
  function bothWays(i, j, index) {
    var said = index.texts.pair;
    var first = index.designation[i];
    var second = index.designation[j];
    var pair = (index.pairs.get(i) || []).filter(function (each) { return each.other === j; })[0];
    if (!pair) return said.unknown;
    return meeting(first, second, pair.into, index) + said.join + meeting(second, first, pair.take, index);
  }

  function meeting(bolt, nut, outcome, index) {
    var said = index.texts.pair;
    var verdict = outcome[0];
    var figure = outcome[1];
    var words = said[verdict];
    if (verdict === 'binds') {
      words = figure < 10 ? said.first_turn : figure < 15 ? said.one_turn : said.turns;
      words = fill(words, { turns: fixed(figure / 10, 0) });
    } else if (verdict === 'runs on') {
      words = fill(figure >= index.model.pair_holds_from ? said.runs_on : said.slack, { share: String(figure) });
    }
    return fill(said.one, { bolt: bolt, nut: nut, happens: words });
  }

  /** The commonest outcome of a fit, in words. */
  function commonest(steps, index) {
    var chances = OUTCOMES.map(function (outcome) { return chance(index, steps, outcome, null); });
    var best = OUTCOMES[chances.indexOf(largest(chances))];
    var turns = sum(steps.map(function (step) { return step.share * step.turns; }));
    return outcomeWords(best, best === 'binds' ? Math.floor(turns + 0.5) : null, index);
  }

  function aboutMarks(seen, after, shown, add, index) {
    var given = seen.head_marks.concat(seen.nut_marks);
    var real = given.filter(function (mark) { return mark !== BLANK && !index.data.marks[mark].blank; });
    if (real.length) add('marks-give-no-thread');
    real.forEach(function (mark) {
      var known = index.data.marks[mark];
      if (shown.length && after.shares[shown[0]] >= index.model.cannot_tell) {
        var group = index.family[shown[0]].group;
        if (group in known.odds && known.odds[group] <= index.model.mark_stray) {
          var first = index.designation[shown[0]];
          add('mark-against-thread', [first], { mark: known.title, first: first });
        }
      }
      if (known.left && seen.hand === null) add('mark-says-left', [], { mark: known.title });
    });
    if (real.length < given.length) add('no-mark-no-strength');
    if (seen.finish !== null && seen.finish !== 'unknown') add('colour-is-not-grade');
  }

  function aboutThePart(seen, add) {
    if (seen.material === 'stainless') add('stainless');
    var castellated = seen.kind === 'castellated nut' || isOneOf(seen.nut_top, ['castellated', 'slotted', 'slotted-collar']);
    if (castellated) add('castellated-nut');
    if (seen.kind === 'stud') add('stud-ends');
    if (seen.hand === 'left') add('left-hand');
    if (isOneOf(seen.kind, ['wheel nut', 'wheel bolt'])) add('wheel-seat');
    if (castellated || isOneOf(seen.kind, ['wheel nut', 'wheel bolt', 'union', 'banjo bolt', 'bleed screw'])) add('safety');
  }

  // ---- What to look at next ----

  /** What an observation takes: any one of these; nothing but eyes where none is named. */
  var TOOLS = {
    diameter: ['calipers'], minor_diameter: ['calipers'], pitch: ['leaf gauge'], count: ['rule'], trials: ['known nuts'],
    flank_angle: ['leaf gauge', 'magnifier'], crest: [], across_flats: ['calipers'], spanner: ['spanners'], head_marks: [],
  };

  /** Whoever cannot make this observation is taken to lack its tool. */
  var LACKING = { diameter: 'calipers', minor_diameter: 'calipers', pitch: 'leaf gauge', spanner: 'spanners' };

  function nextSteps(seen, after, index) {
    var m = index.model;
    if (withoutThread(seen, index)) return [];
    var weighed = ranked(after, index)
      .slice(0, m.next_threads)
      .filter(function (i) { return after.shares[i] >= m.next_share_from; });
    var shares = weighed.map(function (i) { return after.shares[i]; }).concat([after.none]);
    var total = sum(shares);
    shares = shares.map(function (share) { return share / total; });
    return openSteps(seen, weighed, index)
      .map(function (step) { return { observe: step.key, bits: information(shares, step.chances), how: step.how, with: step.known || null }; })
      .filter(function (step) { return step.bits >= m.next_bits_from; })
      .sort(function (a, b) { return Math.floor(b.bits * 1e8 + 0.5) - Math.floor(a.bits * 1e8 + 0.5); })
      .slice(0, m.next_most);
  }

  function information(shares, chances) {
    var bits = 0.0;
    for (var outcome = 0; outcome < chances[0].length; outcome++) {
      var whole = 0.0;
      for (var k = 0; k < shares.length; k++) whole += shares[k] * chances[k][outcome];
      if (whole <= 0.0) continue;
      for (k = 0; k < shares.length; k++) {
        var here = chances[k][outcome];
        if (shares[k] > 0.0 && here > 0.0) bits += shares[k] * here * Math.log(here / whole);
      }
    }
    return Math.max(bits / Math.log(2.0), 0.0);
  }

  function openSteps(seen, weighed, index) {
    var m = index.model;
    var steps = [];
    function may(key) {
      return !isOneOf(key, seen.cannot) &&
        (!TOOLS[key].length || TOOLS[key].some(function (tool) { return hasTool(tool, seen); }));
    }
    function measured(text, mixture) {
      steps.push(measuredStep(text, weighed.map(mixture), weighed, index, ''));
    }
    var fine = m.next_fine_mm;
    var tools = index.data.instruments;
    if (!seen.internal && may('diameter') && (seen.diameter === null || seen.diameter.error > fine)) {
      measured(seen.diameter === null ? 'diameter' : 'diameter_again', function (i) { return withError(outsideSizes(i, seen, index), tools['digital calipers'] * index.meanScale); });
    }
    var bore = seen.minor_diameter || seen.diameter;
    if (seen.internal && may('minor_diameter') && (bore === null || bore.error > fine)) {
      measured('minor_diameter', function (i) { return withError(boreSizes(i, index), tools['vernier calipers'] * index.meanScale); });
    }
    if (may('pitch') && seen.pitch === null) steps.push(leafStep(weighed, index));
    if (may('count') && seen.count === null && !seen.internal) steps.push(countStep(weighed, index));
    if (may('trials')) {
      var tried = seen.trials.map(function (trial) { return trial.number; });
      weighed
        .filter(function (i) { return !isOneOf(i, tried); })
        .slice(0, m.next_trial_nuts)
        .forEach(function (known) { steps = steps.concat(trialStep(known, weighed, seen.internal, index)); });
    }
    var looks = seen.crest === null && !isOneOf('crest', seen.cannot);
    if (!seen.internal && seen.flank_angle === null && may('flank_angle')) {
      steps.push(profileStep(hasTool('leaf gauge', seen), looks, weighed, index));
    } else if (!seen.internal && looks) {
      steps.push(crestStep(weighed, index));
    }
    var partName = partOf(seen, index);
    if (partName && seen.across_flats === null && seen.spanner === null) {
      var flats = weighed.map(function (i) { return flatsMixture(i, partName, index); });
      if (may('across_flats')) {
        steps.push(measuredStep('across_flats', flats, weighed, index, partName));
      } else if (may('spanner')) {
        var fits = flats.map(function (mixture) { return withError(mixture, m.spanner_error_mm); });
        steps.push(measuredStep('spanner', fits, weighed, index, partName));
      }
    }
    if (partName && partName.indexOf('bolt') === 0 && !seen.head_marks.length && !seen.internal && may('head_marks')) {
      steps.push(markStep(weighed, index));
    }
    return steps;
  }

  /** Whether the person may have a tool: nobody said otherwise, and nothing was given up for want of it. */
  function hasTool(tool, seen) {
    var lacks = Object.keys(LACKING).some(function (key) { return LACKING[key] === tool && isOneOf(key, seen.cannot); });
    return !lacks && (seen.has === null || isOneOf(tool, seen.has));
  }

  function withError(sizes, error) {
    return sizes.map(function (row) { return [row[0], row[1], Math.sqrt(row[2] * row[2] + error * error)]; });
  }

  function flatsMixture(i, partName, index) {
    var m = index.model;
    var usual = index.major[i] * Math.exp(m.hexagon_ratio);
    var rows = partName in index.parts ? index.parts[partName][i] : [];
    var share = rows.length ? m.next_hexagon_listed : 0.0;
    var error = m.hexagon_worn_mm;
    var mixture = [[1.0 - share, usual, usual * m.hexagon_spread]];
    rows.forEach(function (place) {
      var row = index.hexagons[place];
      var spread = Math.sqrt((row[1] - row[0]) * (row[1] - row[0]) / 12.0 + error * error);
      mixture.push([share / rows.length, 0.5 * (row[0] + row[1]), spread]);
    });
    return mixture;
  }

  function countStep(weighed, index) {
    var m = index.model;
    var over = m.next_over_mm;
    var missed = m.count_miscounted;
    var said = index.texts.next;
    var mixtures = weighed.map(function (i) {
      var pitch = index.pitch[i];
      var spread = m.count_rule_mm * index.meanScale * pitch / over;
      var off = pitch * pitch / over;
      return [[1.0 - missed, pitch, spread], [0.5 * missed, pitch - off, spread], [0.5 * missed, pitch + off, spread]];
    });
    var values = weighed.map(function (i) {
      return fill(said.count_value, { count: fixed(over / index.pitch[i], 0), over: said.over });
    });
    return {
      key: 'count',
      chances: binned(mixtures, m.smallest_mm * 0.2, m.largest_mm * 0.06, index),
      how: fill(said.count, { over: said.over, expect: expect(values, weighed, index) }),
    };
  }

  /** The flank angle, and in the same look the crests unless they were told. */
  function profileStep(byLeaf, looks, weighed, index) {
    var m = index.model;
    var guess = m.angle_guess_share;
    var said = index.texts.next;
    var chances = binned(weighed.map(function (i) {
      return [[1.0 - guess, index.family[i].angle, m.angle_error_deg * index.meanScale], [guess, 55.0, 17.0]];
    }), 30.0, 90.0, index);
    var values = weighed.map(function (i) {
      return fill(index.texts.units.degrees, { degrees: short(index.family[i].angle, 1) });
    });
    if (looks) {
      var rounded = weighed.map(function (i) { return seenRounded(i, index); }).concat([0.5]);
      chances = chances.map(function (row, k) {
        return row.map(function (cell) { return cell * rounded[k]; })
          .concat(row.map(function (cell) { return cell * (1.0 - rounded[k]); }));
      });
      values = values.map(function (value, k) {
        return fill(said.both, { angle: value, crest: crestWords(weighed[k], index) });
      });
    }
    var how = byLeaf ? said.flank_angle_leaf : looks ? said.profile : said.flank_angle;
    return { key: 'flank_angle', chances: chances, how: fill(how, { expect: expect(values, weighed, index) }) };
  }

  function crestStep(weighed, index) {
    var rounded = weighed.map(function (i) { return seenRounded(i, index); }).concat([0.5]);
    var values = weighed.map(function (i) { return crestWords(i, index); });
    return {
      key: 'crest',
      chances: rounded.map(function (share) { return [share, 1.0 - share]; }),
      how: fill(index.texts.next.crest, { expect: expect(values, weighed, index) }),
    };
  }

  function seenRounded(i, index) {
    return index.model[index.family[i].rounded ? 'rounded_seen_rounded' : 'flat_seen_rounded'];
  }

  function crestWords(i, index) {
    return index.texts.next.crests[index.family[i].rounded ? 'rounded' : 'flat'];
  }

  /** A measure, or the spanner that fits; `text` names the instruction, `partName` the part whose hexagons are meant. */
  function measuredStep(text, mixtures, weighed, index, partName) {
    var key = text.replace(/_again$/, '');
    var said = index.texts.next;
    var values = weighed.map(function (i) {
      var sizes = index.sizes[i];
      var low = 0.0;
      var high = 0.0;
      if (key === 'diameter') {
        low = sizes.male_major_from;
        high = sizes.male_major_to;
      } else if (key === 'minor_diameter') {
        low = sizes.female_minor_from;
        high = sizes.female_minor_to;
      } else {
        var rows = index.parts[partName] ? index.parts[partName][i] : [];
        return widthWords(rows.map(function (place) { return index.hexagons[place][1]; }), index);
      }
      return high > 0 ? spanWords(low, high, index) : '';
    });
    return {
      key: key,
      chances: binned(mixtures, index.model.smallest_mm, index.model.largest_mm, index),
      how: fill(said[text], { expect: expect(values, weighed, index) }),
    };
  }

  /** The widths that a thread's heads have, each once: a band over all of them would hold other threads' too. */
  function widthWords(widths, index) {
    var apart = [];
    widths.slice().sort(function (a, b) { return a - b; }).forEach(function (width) {
      if (apart.length && width - apart[apart.length - 1] < index.model.next_widths_apart_mm) apart.pop();
      apart.push(width);
    });
    if (!apart.length) return '';
    var join = index.texts.next.or;
    return fill(index.texts.units.widths, {
      mm: apart.map(function (width) { return fixed(width, 2); }).join(join),
      inch: apart.map(function (width) { return fixed(width / 25.4, 3); }).join(join),
    });
  }

  function binned(mixtures, low, high, index) {
    var edges = [];
    mixtures.forEach(function (mixture) {
      mixture.forEach(function (row) {
        if (row[0] > 0) [-1.2, -0.4, 0.4, 1.2].forEach(function (step) { edges.push(row[1] + step * row[2]); });
      });
    });
    edges.sort(function (a, b) { return a - b; });
    edges = edges.filter(function (edge, k) { return !k || edge !== edges[k - 1]; });
    var most = index.model.next_bins;
    if (edges.length > most) {
      var all = edges;
      edges = [];
      for (var k = 0; k < most; k++) edges.push(all[Math.floor(k * (all.length - 1) / (most - 1))]);
    }
    var rows = mixtures.map(function (mixture) {
      return cells(edges.map(function (edge) {
        return sum(mixture.map(function (row) { return row[0] * normalCdf((edge - row[1]) / row[2]); }));
      }));
    });
    var span = Math.log(high / low);
    rows.push(cells(edges.map(function (edge) {
      return Math.min(Math.max(Math.log(Math.max(edge, 1e-9) / low) / span, 0.0), 1.0);
    })));
    return rows;
  }

  function cells(cdf) {
    var last = 0.0;
    return cdf.concat([1.0]).map(function (value) {
      var cell = Math.max(value - last, 0.0);
      last = value;
      return cell;
    });
  }

  function leafStep(weighed, index) {
    var rows = weighed.map(function (i) {
      var entry = index.distinct[index.pitchPlace[i]];
      var row = index.logLeaves.map(function (logLeaf) {
        return sum(index.model.error_scales.map(function (scale, k) {
          return scale[0] * leafChance(logLeaf, entry, k, index);
        }));
      });
      var total = sum(row);
      return row.map(function (value) { return value / total; });
    });
    rows.push(index.leaves.map(function () { return 1.0 / index.leaves.length; }));
    var units = index.texts.units;
    var values = weighed.map(function (i) {
      return index.tpi[i]
        ? fill(units.tpi, { tpi: short(index.tpi[i], 2) })
        : fill(units.mm, { mm: short(index.pitch[i], 3) });
    });
    return {
      key: 'pitch',
      chances: rows,
      how: fill(index.texts.next.pitch, { expect: expect(values, weighed, index) }),
    };
  }

  /** A trial with a known part; none where all threads would do the same on it, however the chances differ. */
  function trialStep(known, weighed, internal, index) {
    var m = index.model;
    var fits = weighed.map(function (i) { return internal ? fit(index, known, i) : fit(index, i, known); });
    var rows = fits.map(function (steps) { return trialCells(steps, index); });
    var values = fits.map(function (steps) { return commonest(steps, index); });
    if (values.length > 1 && values.every(function (value) { return value === values[0]; })) return [];
    var shares = m.none_trial;
    var ends = [0.5].concat(m.next_turns, [m.none_trial_turns]);
    var span = Math.log(ends[ends.length - 1] / ends[0]);
    var unknown = [shares['will not start'], shares['runs on'], shares.wobbles];
    for (var k = 1; k < ends.length; k++) unknown.push(shares.binds * (Math.log(ends[k] / ends[k - 1]) / span));
    rows.push(unknown);
    var template = index.texts.next[internal ? 'trials_bolt' : 'trials'];
    return [{
      key: 'trials',
      chances: rows,
      how: fill(template, { with: index.designation[known], expect: expect(values, weighed, index) }),
      known: index.designation[known],
    }];
  }

  function trialCells(steps, index) {
    var m = index.model;
    var row = ['will not start', 'runs on', 'wobbles'].map(function (outcome) {
      return chance(index, steps, outcome, null);
    });
    var binds = chance(index, steps, 'binds', null);
    var cuts = m.next_turns.map(Math.log);
    var shares = new Array(cuts.length + 1).fill(0.0);
    steps.forEach(function (step) {
      var weight = step.share * step.starts * step.binds;
      var last = 0.0;
      cuts.forEach(function (cut, k) {
        var here = normalCdf((cut - Math.log(step.turns)) / m.fit_turn_spread);
        shares[k] += weight * (here - last);
        last = here;
      });
      shares[cuts.length] += weight * (1.0 - last);
    });
    var total = sum(shares);
    shares.forEach(function (share) { row.push(total > 0.0 ? binds * share / total : binds / shares.length); });
    var whole = sum(row);
    return row.map(function (cell) { return cell / whole; });
  }

  function markStep(weighed, index) {
    var table = index.model.next_marks;
    var said = index.texts.next;
    var rows = weighed.map(function (i) { return table[index.family[i].group]; }).concat([table.none]);
    var values = weighed.map(function (i) { return said.mark_values[index.family[i].group]; });
    var words = expect(values, weighed, index);
    var template = words ? said.head_marks : said.head_marks.replace(': {expect}', '');
    return { key: 'head_marks', chances: rows, how: fill(template, { expect: words }) };
  }

  function expect(values, weighed, index) {
    var said = index.texts.next;
    var names = new Map();
    values.forEach(function (value, k) {
      if (!value) return;
      if (!names.has(value)) names.set(value, []);
      names.get(value).push(index.designation[weighed[k]]);
    });
    return Array.from(names)
      .slice(0, 3)
      .map(function (pair) { return fill(said.expect_one, { value: pair[0], name: pair[1].slice(0, 3).join(said.or) }); })
      .join(said.expect_join);
  }

  // ---- The answer ----

  function slug(designation) {
    return designation.toLowerCase().split(/[\/ .-]+/).filter(Boolean).join('-');
  }

  function printed(i, seen, index) {
    return seen.hand === 'left' ? index.designation[i] + ' LH' : index.designation[i];
  }

  function jointsByThread(vehicle) {
    var joints = new Map();
    (vehicle ? vehicle.joints : []).forEach(function (joint) {
      joint.threads.forEach(function (designation) {
        if (!joints.has(designation)) joints.set(designation, []);
        if (!isOneOf(joint.id, joints.get(designation))) joints.get(designation).push(joint.id);
      });
    });
    return joints;
  }

  function certainty(seen, shown, after, anything, index) {
    var m = index.model;
    var said = index.texts.certainty;
    var word = index.texts.words;
    if (!anything) return { words: word.cannot_tell, text: seen.internal ? said.nothing_bore : said.nothing };
    var top = shown.length ? after.shares[shown[0]] : 0.0;
    if (after.none > top && after.none > m.cannot_tell) return { words: word.cannot_tell, text: said.none };
    var names = { first: printed(shown[0], seen, index), second: shown.length > 1 ? printed(shown[1], seen, index) : '' };
    if (top >= m.almost_certain) return { words: word.almost_certain, text: fill(said.sure, names) };
    if (top >= m.likely) return { words: word.likely, text: fill(said.likely, names) };
    var both = top + (shown.length > 1 ? after.shares[shown[1]] : 0.0);
    if (both >= m.likely) return { words: word.could_be, text: fill(said.between, names) };
    return { words: word.cannot_tell, text: fill(said.cannot_tell, names) };
  }

  function strength(seen, index) {
    var said = index.texts.strength;
    var given = seen.head_marks.concat(seen.nut_marks);
    var real = given.filter(function (mark) { return mark !== BLANK && !index.data.marks[mark].blank; });
    var claims = new Map();
    real.forEach(function (mark) {
      index.data.marks[mark].claims.forEach(function (claim) {
        if (!claims.has(claim[0])) claims.set(claim[0], claim[1]);
      });
    });
    if (claims.size) {
      var names = Array.from(claims.keys()).join(said.or);
      var text = fill(said.claim, { claims: names });
      var sure = claims.size === 1 ? claims.values().next().value : said.several;
      return { strength: { claim: names, certainty: sure, text: text }, text: text };
    }
    if (real.length) return { strength: null, text: said.no_claim };
    return { strength: null, text: given.length ? said.blank : said.unseen };
  }

  function identify(given, index, options) {
    var seen = read(given || {}, index);
    var vehicle = (options && options.vehicle) || null;
    var claimed = strength(seen, index);
    var said = index.texts.certainty;
    if (withoutThread(seen, index)) {
      var own = isOneOf(seen.kind, ['self-tapping screw', 'wood screw']);
      return {
        candidates: [],
        none_of_these: 1.0,
        certainty: { words: index.texts.words.cannot_tell, text: own ? said.own_thread : said.no_thread },
        strength: claimed.strength,
        strength_text: claimed.text,
        warnings: cautions(seen, { shares: [], none: 1.0 }, [], index),
        next: [],
        contradiction: null,
      };
    }
    var found = evidence(seen, index);
    var after = posterior(found, prior(seen, index, vehicle), index);
    var shown = order(after, index);
    var averages = found.map(function (item) { return average(item, after.start); });
    var joints = jointsByThread(vehicle);
    return {
      candidates: shown.map(function (i) {
        var designation = printed(i, seen, index);
        var why = reasons(i, seen, found, averages, index);
        return {
          designation: designation,
          family: index.family[i].name,
          slug: slug(designation),
          probability: after.shares[i],
          words: wordsFor(after.shares[i], index),
          major_mm: index.major[i],
          pitch_mm: index.pitch[i],
          for: why[0],
          against: why[1],
          joints: joints.get(designation) || [],
        };
      }),
      none_of_these: after.none,
      certainty: certainty(seen, shown, after, found.some(function (item) { return isOneOf(item.key, index.model.measured); }), index),
      strength: claimed.strength,
      strength_text: claimed.text,
      warnings: cautions(seen, after, shown, index),
      next: options && options.next === false ? [] : nextSteps(seen, after, index),
      contradiction: contradiction(found, after, index),
    };
  }

  var loaded = null;

  function ready() {
    if (loaded === null) throw new Error('no index loaded yet: call decoderIdentify.load(index) first');
    return loaded;
  }

  root.decoderIdentify = {
    load: function (data) {
      loaded = new Index(data);
      return root.decoderIdentify;
    },
    identify: function (observations, options) {
      return identify(observations, ready(), options);
    },
    next: function (observations, options) {
      var index = ready();
      var seen = read(observations || {}, index);
      if (withoutThread(seen, index)) return [];
      var found = evidence(seen, index);
      return nextSteps(seen, posterior(found, prior(seen, index, (options && options.vehicle) || null), index), index);
    },
    ObservationError: ObservationError,
  };
})(typeof window === 'undefined' ? globalThis : window);
