/* Finds in the index of the book, by the rule of the find command: find/terms.py and find/ranking.py, in whole numbers so that both
   come out alike; words are read by stems.js. Nothing is prepared ahead: a word's places are read when it is asked for. */
(function () {
  "use strict";
  var WEIGHTS = { T: 3, S: 2, X: 1 }, SAME = 8, BEGINNING = 6, MEANING = 5, TYPO = 4, NEAR = 3, TEXT = 1, PART = 3, RUN_TOGETHER = 7;
  var SHARE = 4, WHOLLY = 2 * BEGINNING, UNKNOWN = 5;
  var ENDINGS = ["ation", "ness", "ment", "abl", "ag", "ur", "ion", "ish", "iv", "ful", "en", "er", "or", "ly", "al", "y"];
  var book = window.mothermoldFind, stemmed = new Map(), documents = 0;
  /* What the first search makes of the index. */
  /** @type {string[]} */
  var words;
  /** @type {Map<string, number>} */
  var at;
  /** @type {Set<string>} */
  var small;
  /** @type {Reading} */
  var reading;
  /** @type {boolean[]} */
  var own;
  /** @type {(() => void)[]} */
  var waiting;

  function has(object, key) { return Object.prototype.hasOwnProperty.call(object, key); }

  function begin() {
    words = book.words ? book.words.split("\n") : [];
    at = new Map(words.map(function (word, place) { return [word, place]; }));
    small = new Set(book.small);
    reading = window.mothermoldStems(book);
    own = book.entries.map(function (entry) { return !book.apart.includes(entry[2]); });
    documents = own.filter(Boolean).length;
  }

  /* The entries that hold a word, each with what the word weighs there. */
  function places(word, each) {
    var found = /([0-9a-z]+)([TSX])/g, place = 0, hit, told = book.places[Number(at.get(word))];
    while ((hit = found.exec(told))) {
      place += parseInt(hit[1], 36);
      each(place, WEIGHTS[hit[2]]);
    }
  }

  function rows(word) { return has(book.meanings, word) ? book.meanings[word] : []; }

  /* Whether the words of a row only may mean the same. */
  function isNear(row) { return row < 0; }

  function knows(stem) { return at.has(stem) || has(book.meanings, stem); }

  /* A word found nowhere as the two it is made of, a phrase before others; else as it is. */
  function apart(word) {
    var stem = reading.stem(word), best = /** @type {{ phrase: boolean, shorter: number, parts: string[] } | null} */ (null);
    if (small.has(word) || knows(stem) || word.length < RUN_TOGETHER || words.some(function (each) { return each.startsWith(stem); })) { return [word]; }
    for (var cut = PART; cut <= word.length - PART; cut += 1) {
      var parts = [word.slice(0, cut), word.slice(cut)], stems = parts.map(reading.stem), phrase = has(book.meanings, stems.join(" "));
      /* Underbaked is baked: a long small word in front is left out. */
      var first = small.has(parts[0]) ? Math.min(cut, word.length - cut) >= 4 : knows(stems[0]);
      if (!phrase && !(first && knows(stems[1]) && !small.has(parts[1]))) { continue; }
      var shorter = Math.min(cut, word.length - cut);
      if (!best || phrase && !best.phrase || phrase === best.phrase && shorter > best.shorter) { best = { phrase: phrase, shorter: shorter, parts: parts }; }
    }
    return best ? best.parts : [word];
  }

  /* The places of phrases among stems: [start, end]. */
  function phrases(stems) {
    var found = [];
    stems.forEach(function (_stem, start) {
      for (var end = start + 2; end <= Math.min(start + book.longest, stems.length); end += 1) {
        if (has(book.meanings, stems.slice(start, end).join(" "))) { found.push([start, end]); }
      }
    });
    return found;
  }

  /* The words of the texts that the first or last of some words makes with its neighbor. */
  function wholes(typed, stems, start, end) {
    return [[start - 1, start], [end - 1, end]].filter(function (each) {
      return each[0] >= 0 && each[1] < typed.length && reading.mayJoin(typed[each[0]], typed[each[1]]);
    }).map(function (each) { return typed[each[0]] + stems[each[1]]; }).filter(knows);
  }

  function asked(query) {
    var typed = reading.read(query).flatMap(apart), stems = typed.map(reading.stem), counts = new Map(), others = new Map();
    var longest = new Map(phrases(stems)), start = 0;
    while (start < stems.length) {
      var end = longest.get(start) || start + 1, isSmall = end === start + 1 && small.has(typed[start]);
      var word = stems.slice(start, end).join(" "), into = isSmall ? others : counts;
      if (!into.has(word)) { into.set(word, term(typed.slice(start, end).join(" "), fitting(word, isSmall, end === stems.length, wholes(typed, stems, start, end)), isSmall)); }
      start = end;
    }
    return Array.from((counts.size ? counts : others).values());
  }

  function near(word) {
    var most = word.length < 4 ? 0 : word.length < 8 ? 1 : 2, least = most, found = [], fits = new Map(), meant = new Map();
    words.concat(Object.keys(book.meanings)).forEach(function (each) { if (each[0] !== "~" && !each.includes(" ")) { meant.set(each, each); } });
    Object.keys(book.forms).forEach(function (form) { if (knows(reading.stem(form))) { meant.set(form, reading.stem(form)); } });
    meant.forEach(function (stem, each) {
      if (!mayBeMeant(word, each)) { return; }
      var count = reading.slips(word, each, least);
      if (count < least) { found = []; least = count; }
      if (count === least) { found.push(stem); }
    });
    found.forEach(function (each) {
      if (at.has(each)) { fits.set(each, TYPO); }
      rows(each).forEach(function (row) { fits.set("~" + row, (isNear(row) ? NEAR : TYPO) - 1); });
    });
    return fits;
  }

  /* What fits a word that fits nothing, without an ending that makes a thing or a kind of a deed: blurry, injector, leakage. */
  function derived(word) {
    var fits = new Map();
    ENDINGS.some(function (ending) {
      var rest = word.slice(0, -ending.length);
      if (!word.endsWith(ending) || rest.length < PART) { return false; }
      return [rest, /(.)\1$/u.test(rest) ? rest.slice(0, -1) : rest].some(function (each) {
        if (at.has(each)) { fits.set(each, TYPO); }
        rows(each).forEach(function (row) { fits.set("~" + row, (isNear(row) ? NEAR : TYPO) - 1); });
        return fits.size;
      });
    });
    return fits;
  }

  /* Whether a slip is likely: fingers hit the first letter, and of four letters one was left out or two are swapped. */
  function mayBeMeant(word, meant) {
    function letters(each) { return Array.from(each).sort().join(""); }
    return word[0] === meant[0] && (word.length > 4 || meant.length > word.length || letters(word) === letters(meant));
  }

  /* The words, phrases and meanings of the texts that fit a word, and how well each does. */
  function fitting(word, isSmall, isLast, joined) {
    var fits = new Map(), meanings = rows(word);
    if (isSmall) { return at.has(word) ? fits.set(word, SAME) : fits; }
    /* Only the last word may still be being typed. */
    if (word.length >= (isLast ? 3 : 4)) { words.forEach(function (each) { if (each.startsWith(word)) { fits.set(each, BEGINNING); } }); }
    [word].concat(joined).forEach(function (each) { if (at.has(each)) { fits.set(each, SAME); } });
    joined.forEach(function (each) { meanings = meanings.concat(rows(each)); });
    meanings.forEach(function (row) { fits.set("~" + row, isNear(row) ? NEAR : MEANING); });
    if (!fits.size) { fits = derived(word); }
    return fits.size ? fits : near(word);
  }

  /* How much a word weighs that so many documents hold; rules, sums and labels do not count. */
  function rare(holders) { return Math.max(32 - Math.clz32(Math.floor(documents / Math.max(holders, 1))), 1); }

  function term(typed, fits, isSmall) {
    var best = new Map(), held = new Map(), shouted = new Set(), answered = new Map(), found = [];
    fits.forEach(function (fit, each) {
      if (!at.has(each)) { return; }
      var holders = { fit: fit, places: /** @type {number[]} */ ([]), weights: /** @type {number[]} */ ([]), count: 0 };
      places(each, function (place, weight) {
        holders.places.push(place);
        holders.weights.push(weight);
        if (own[place]) { holders.count += 1; }
      });
      found.push(holders);
    });
    var rarity = found.length ? rare(found.length > 1 ? together(found) : found[0].count) : 0;
    found.forEach(function (each) {
      /* The word itself, where few have it, comes before what only means as much. */
      var value = each.fit * Math.min(rare(each.count), rarity + 1), fit = Math.min(each.fit, BEGINNING);
      each.places.forEach(function (place, number) {
        var weight = each.weights[number], loud = weight > TEXT;
        best.set(place, Math.max(best.get(place) || 0, value * weight));
        held.set(place, Math.max(held.get(place) || 0, loud ? 2 * fit : fit));
        answered.set(place, (answered.get(place) || 0) + 1);
        if (loud) { shouted.add(place); }
      });
    });
    return { typed: typed, small: isSmall, fits: fits, rarity: rarity, best: best, held: held, shouted: shouted, answered: answered };
  }

  /* How many documents hold any of some words. */
  function together(found) {
    var seen = new Set();
    found.forEach(function (each) { each.places.forEach(function (place) { if (own[place]) { seen.add(place); } }); });
    return seen.size;
  }

  function hits(terms, unknown) {
    var first = book.entries[0][2], enough = 0, weights = new Map(), held = new Map(), found = [];
    terms.forEach(function (each) {
      enough += each.rarity;
      each.held.forEach(function (fit, place) {
        weights.set(place, (weights.get(place) || 0) + each.rarity);
        held.set(place, (held.get(place) || 0) + each.rarity * fit);
      });
    });
    var all = enough + unknown * Math.min(32 - Math.clz32(documents), UNKNOWN);
    var every = Array.from(terms[0].best.keys()).some(function (place) {
      return terms.every(function (each) { return each.best.has(place); });
    });
    weights.forEach(function (weight, place) {
      if (SHARE * held.get(place) < WHOLLY * all) { return; }
      if (!every || book.entries[place][2] === first || 2 * weight >= enough) { found.push(place); }
    });
    return found;
  }

  /** What answers to a query: hits, best first within their kind, { place, score }; unknown words; terms. @type {Finder["search"]} */
  function search(query) {
    if (!words) { begin(); }
    var every = asked(query), terms = every.filter(function (each) { return each.best.size; });
    var unknown = every.filter(function (each) { return !each.best.size && !each.small; }).map(function (each) { return each.typed; });
    if (!terms.length) { return { hits: [], unknown: unknown, terms: terms }; }
    var whole = reading.tokens(query).join(" "), kinds = {};
    book.entries.forEach(function (entry, place) { if (!has(kinds, entry[2])) { kinds[entry[2]] = place; } });
    var found = hits(terms, unknown.length).map(function (place) {
      var entry = book.entries[place], score = 0, answered = 0;
      terms.forEach(function (each) { score += each.best.get(place) || 0; answered += each.answered.get(place) || 0; });
      var named = whole === reading.tokens(entry[1]).join(" ") || whole === reading.tokens(entry[3]).join(" ");
      var shouted = terms.every(function (each) { return each.shouted.has(place); }), share = Math.floor(1000 * answered / book.sizes[place]);
      return { place: place, score: score, named: named, shouted: shouted, share: share, kind: kinds[entry[2]] };
    }).sort(function (a, b) {
      return a.kind - b.kind || Number(b.named) - Number(a.named) || Number(b.shouted) - Number(a.shouted) || b.score - a.score || b.share - a.share || a.place - b.place;
    });
    return { hits: found, unknown: unknown, terms: terms };
  }

  function stem(word) {
    if (!stemmed.has(word)) { stemmed.set(word, reading.stem(word)); }
    return stemmed.get(word);
  }

  /* The stems, phrases and meanings in a line; two words in a row also as the one they make. */
  function wordsIn(line) {
    var read = reading.read(line), stems = read.map(stem), said = stems.slice();
    phrases(stems).forEach(function (each) { said.push(stems.slice(each[0], each[1]).join(" ")); });
    read.slice(1).forEach(function (word, place) {
      var whole = read[place] + stems[place + 1];
      if (at.has(whole) && reading.mayJoin(read[place], word)) { said.push(whole); }
    });
    return said.concat(said.flatMap(function (each) { return rows(each).map(function (row) { return "~" + row; }); }));
  }

  /** By which line of an entry it was found: its title, or the first of those that hold most of what was asked. @type {Finder["line"]} */
  function line(terms, place) {
    var lines = window.mothermoldFindLines, best = book.entries[place][1], most = -1;
    if (!lines) { return ""; }
    [best].concat(lines[place] ? lines[place].split("\n") : []).forEach(function (each) {
      var said = wordsIn(each), fit = 0;
      terms.forEach(function (term) {
        var most = 0;
        said.forEach(function (word) { most = Math.max(most, term.fits.get(word) || 0); });
        fit += term.rarity * most;
      });
      if (fit > most) { most = fit; best = each; }
    });
    return best;
  }

  /** The lines of the book, fetched once somebody searches; `then` is called when they are there. @type {Finder["withLines"]} */
  function withLines(root, then) {
    if (window.mothermoldFindLines) { return; }
    if (!waiting) {
      waiting = [];
      var script = document.createElement("script");
      script.src = root + "assets/find-lines.js";
      script.addEventListener("load", function () { waiting.forEach(function (each) { each(); }); });
      document.head.appendChild(script);
    }
    waiting.push(then);
  }

  /** The first so many; the last places go to the best of each kind that would be left out. @type {Finder["leading"]} */
  function leading(found, most) {
    var shown = found.slice(0, most), seen = new Set(), others = [];
    shown.forEach(function (hit) { seen.add(hit.kind); });
    found.slice(most).forEach(function (hit) { if (!seen.has(hit.kind)) { seen.add(hit.kind); others.push(hit); } });
    return shown.slice(0, most - others.length).concat(others);
  }

  /** What stands beside weak answers. @type {Finder["missing"]} */
  function missing(unknown) { return unknown.length ? "Nothing in the book says: " + unknown.join(", ") + "." : ""; }

  if (book) {
    /* What is empty at the end of an entry was left out. */
    book.entries.forEach(function (entry) { [0, 1, 2, 3, "", [], "", "", 0, [], []].forEach(function (empty, place) { if (entry.length === place) { entry.push(empty); } }); });
    window.mothermoldFinder = {
      search: search, line: line, withLines: withLines, leading: leading, missing: missing, entries: book.entries, answers: book.answers
    };
  }
})();
