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
 *   diameter        {mm, tolerance_mm, instrument, about, system}   outside diameter of the thread. tolerance_mm: the ± the person gave,
 *                   null takes the instrument's. instrument: a name of index.instruments:
 *                   'digital calipers' (taken when null) | 'vernier calipers' | 'micrometer' | 'rule' | 'eye'.
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
 *   drive           a name of index.drives
 *   head_marks      [mark id]   index.marks lists the ids known; ['none'] says the head was looked at and is blank
 *   nut_marks       [mark id]
 *   material        a name of index.materials ('steel', 'stainless', 'brass', 'aluminium', 'titanium', 'plastic' …)
 *   finish          a name of index.finishes ('zinc', 'cadmium', 'black', 'painted', 'plain' …)
 *   hand            'left' | 'right'
 *   condition       'new' | 'plated' | 'worn' | 'rusty' | 'painted'
 *   vehicle, assembly   only in words here; the odds come with options.vehicle
 *   has             [tool]   what the person has, so that `next` asks for nothing else; null: anything
 *                   names of index.tools: 'calipers' | 'rule' | 'leaf gauge' | 'known nuts' | 'spanners' | 'magnet'
 *
 * ANSWER  the same keys as `decoder identify --json`
 *   candidates      [{designation, family, slug, probability, words, major_mm, pitch_mm, for: [text], against: [text], joints: [id]}]
 *                   most probable first; words: 'almost certain' | 'likely' | 'could be' | 'unlikely'
 *   none_of_these   probability that it is none of the table's threads
 *   certainty       {words, text}   one line for the head of the page; words may be 'cannot tell'
 *   strength        null, or {claim, certainty, text}
 *   strength_text   what may be said about strength in either case, never empty
 *   warnings        [{code, text, designations}]   designations: the look-alike pair it speaks of, or []
 *   next            [{observe, bits, how}]   best first; observe: the key above that would be filled
 *   contradiction   null, or {odd_one_out, text}   odd_one_out: an observation key, or null where no single one is to blame
 *
 * VEHICLE PART  {vehicle, title, joints: [{id, title, assembly, threads: [designation], count}]}
 *   raises the odds of the threads used there (more for options.assembly), never the others' to nothing, and fills `joints`.
 */
