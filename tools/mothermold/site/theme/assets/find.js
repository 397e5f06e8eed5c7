/* Finds in the index of the book, by the rule of the find command: find/ranking.py, in whole numbers so that both come
   out alike; words are read by stems.js. Nothing is prepared ahead: a word's places are read when it is asked for. */
(function () {
  "use strict";
  var WEIGHTS = { T: 4, S: 3, X: 1 }, SAME = 8, BEGINNING = 6, MEANING = 5, TYPO = 4, TEXT = 1;
  var book = window.mothermoldFind, words = null, at = null, small, reading;

  function has(object, key) { return Object.prototype.hasOwnProperty.call(object, key); }

  function begin() {
    words = book.words ? book.words.split("\n") : [];
    at = new Map(words.map(function (word, place) { return [word, place]; }));
    small = new Set(book.small);
    reading = window.mothermoldStems(book);
  }

  /* The entries that hold a word, each with what the word weighs there. */
  function places(word, each) {
    var found = /([0-9a-z]+)([TSX])/g, place = 0, hit, told = book.places[at.get(word)];
    while ((hit = found.exec(told))) {
      place += parseInt(hit[1], 36);
      each(place, WEIGHTS[hit[2]]);
    }
  }

  function asked(query) {
    var typed = reading.read(query), stems = typed.map(reading.stem), counts = [], others = [], start = 0;
    while (start < stems.length) {
      var end = start + 1;
      for (var last = Math.min(start + book.longest, stems.length); last > start + 1; last -= 1) {
        if (has(book.meanings, stems.slice(start, last).join(" "))) { end = last; break; }
      }
      (end === start + 1 && small.has(typed[start]) ? others : counts).push(stems.slice(start, end).join(" "));
      start = end;
    }
    return Array.from(new Set(counts.length ? counts : others));
  }

  function put(fits, word, fit) { if (!fits.has(word)) { fits.set(word, fit); } }

  function rows(word) { return has(book.meanings, word) ? book.meanings[word] : []; }

  function near(word) {
    var most = word.length < 4 ? 0 : word.length < 7 ? 1 : 2, least = most, found = [], fits = new Map();
    new Set(words.concat(Object.keys(book.meanings))).forEach(function (each) {
      if (each[0] === "~" || each.includes(" ")) { return; }
      var count = reading.slips(word, each, least);
      if (count < least) { found = []; least = count; }
      if (count === least) { found.push(each); }
    });
    found.forEach(function (each) {
      if (at.has(each)) { fits.set(each, TYPO); }
      rows(each).forEach(function (row) { fits.set("~" + row, TYPO - 1); });
    });
    return fits;
  }

  function term(word) {
    var fits = new Map();
    put(fits, word, SAME);
    if (word.length >= 3) {
      words.forEach(function (each) { if (each !== word && each.startsWith(word)) { fits.set(each, BEGINNING); } });
    }
    rows(word).forEach(function (row) { put(fits, "~" + row, MEANING); });
    if (!Array.from(fits.keys()).some(function (each) { return at.has(each); })) { fits = near(word); }
    var best = new Map(), shouted = new Set();
    fits.forEach(function (fit, each) {
      if (!at.has(each)) { return; }
      places(each, function (place, weight) {
        best.set(place, Math.max(best.get(place) || 0, fit * weight));
        if (weight > TEXT) { shouted.add(place); }
      });
    });
    var rarity = best.size ? 32 - Math.clz32(Math.floor(book.entries.length / best.size)) : 0;
    return { rarity: rarity, best: best, shouted: shouted };
  }

  function hits(terms) {
    var first = book.entries[0][2], enough = 0, weights = new Map(), shouted = false;
    terms.forEach(function (each) {
      enough += each.rarity;
      each.best.forEach(function (_value, place) { weights.set(place, (weights.get(place) || 0) + each.rarity); });
    });
    var every = Array.from(terms[0].best.keys()).filter(function (place) {
      return terms.every(function (each) { return each.best.has(place); });
    });
    shouted = every.some(function (place) {
      return book.entries[place][2] === first && terms.every(function (each) { return each.shouted.has(place); });
    });
    if (shouted) { return every; }
    var found = new Set(every);
    weights.forEach(function (weight, place) {
      if (3 * weight >= enough && (!every.length || book.entries[place][2] === first)) { found.add(place); }
    });
    return Array.from(found);
  }

  /* What answers to a query, best first within its kind: [{ place, score }]. */
  function ranked(query) {
    if (!words) { begin(); }
    var terms = asked(query).map(term).filter(function (each) { return each.best.size; });
    if (!terms.length) { return []; }
    var whole = reading.tokens(query).join(" "), kinds = {};
    book.entries.forEach(function (entry, place) { if (!has(kinds, entry[2])) { kinds[entry[2]] = place; } });
    return hits(terms).map(function (place) {
      var entry = book.entries[place], score = 0;
      terms.forEach(function (each) { score += (each.best.get(place) || 0) * each.rarity; });
      var named = whole === reading.tokens(entry[1]).join(" ") || whole === reading.tokens(entry[3]).join(" ");
      var shouted = terms.every(function (each) { return each.shouted.has(place); });
      return { place: place, score: score, named: named, shouted: shouted, kind: kinds[entry[2]] };
    }).sort(function (a, b) {
      return a.kind - b.kind || b.named - a.named || b.shouted - a.shouted || b.score - a.score || a.place - b.place;
    });
  }

  if (book) { window.mothermoldFinder = { ranked: ranked, entries: book.entries, answers: book.answers }; }
})();
