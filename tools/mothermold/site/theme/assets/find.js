/* Finds in the index of the book, by the rule of the find command: find/stems.py, find/thesaurus.py and find/ranking.py, in whole
   numbers so that both come out alike. Nothing is prepared ahead: a word's places are read when it is asked for. */
(function () {
  "use strict";
  var WEIGHTS = { T: 4, S: 3, X: 1 }, SAME = 8, BEGINNING = 6, MEANING = 5, TYPO = 4, TEXT = 1;
  var MANY = [["sses", "ss"], ["ies", "y"], ["ches", "ch"], ["shes", "sh"], ["xes", "x"]];
  var book = window.mothermoldFind, words = null, at = null, small, negations, helpers;

  function fold(text) {
    return text.normalize("NFKD").toLowerCase().normalize("NFKD").replace(/\p{Mn}/gu, "").replace(/ß/g, "ss").replace(/ς/g, "σ");
  }

  function tokens(text) {
    return fold(text).replace(/['’`]/g, "").match(/[\p{L}\p{N}]+/gu) || [];
  }

  function stem(word) {
    var many = MANY.find(function (each) { return word.endsWith(each[0]) && word.length > each[0].length + 1; });
    if (many) { word = word.slice(0, -many[0].length) + many[1]; }
    else if (word.length > 3 && /s$/.test(word) && !/(ss|us|is)$/.test(word)) { word = word.slice(0, -1); }
    var done = ["ing", "ed"].find(function (ending) {
      var rest = word.slice(0, -ending.length);
      return word.endsWith(ending) && rest.length >= 3 && /[aeiouy]/.test(rest);
    });
    if (done) {
      word = word.slice(0, -done.length);
      if (word.slice(-1) === word.slice(-2, -1) && !/[lsz]$/.test(word)) { word = word.slice(0, -1); }
    }
    word = word.length > 3 && word.endsWith("e") ? word.slice(0, -1) : word;
    return spelled(word);
  }

  /* The words of a text, every no said as "not". */
  function read(text) {
    var found = [];
    tokens(text).forEach(function (word) {
      if (word === "not" || negations.has(word)) {
        while (found.length && (found[found.length - 1] === "not" || helpers.has(found[found.length - 1]))) { found.pop(); }
        word = "not";
      }
      found.push(word);
    });
    return found;
  }

  function spelled(word) {
    Object.keys(book.spellings).forEach(function (other) {
      var kept = book.spellings[other], inside = other.length >= 5;
      if (word === other) { word = kept; }
      else if (inside && word.startsWith(other)) { word = kept + word.slice(other.length); }
      else if (inside && word.endsWith(other)) { word = word.slice(0, -other.length) + kept; }
    });
    return word;
  }

  function has(object, key) { return Object.prototype.hasOwnProperty.call(object, key); }

  function begin() {
    words = book.words ? book.words.split("\n") : [];
    at = new Map(words.map(function (word, place) { return [word, place]; }));
    small = new Set(book.small);
    negations = new Set(book.negations);
    helpers = new Set(book.helpers);
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
    var typed = read(query), stems = typed.map(stem), counts = [], others = [], start = 0;
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

  function slips(one, other, most) {
    if (Math.abs(one.length - other.length) > most) { return most + 1; }
    var before = [], last = [], here, column;
    for (column = 0; column <= other.length; column += 1) { last.push(column); }
    for (var row = 1; row <= one.length; row += 1) {
      here = [row];
      for (column = 1; column <= other.length; column += 1) {
        var cost = Math.min(last[column] + 1, here[column - 1] + 1, last[column - 1] + (one[row - 1] === other[column - 1] ? 0 : 1));
        if (row > 1 && column > 1 && one[row - 1] === other[column - 2] && one[row - 2] === other[column - 1]) {
          cost = Math.min(cost, before[column - 2] + 1);
        }
        here.push(cost);
      }
      if (Math.min.apply(null, here) > most) { return most + 1; }
      before = last;
      last = here;
    }
    return last[other.length];
  }

  function put(fits, word, fit) { if (!fits.has(word)) { fits.set(word, fit); } }

  function rows(word) { return has(book.meanings, word) ? book.meanings[word] : []; }

  function near(word) {
    var most = word.length < 4 ? 0 : word.length < 7 ? 1 : 2, least = most, found = [], fits = new Map();
    new Set(words.concat(Object.keys(book.meanings))).forEach(function (each) {
      if (each[0] === "~" || each.includes(" ")) { return; }
      var count = slips(word, each, least);
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
    var whole = tokens(query).join(" "), kinds = {};
    book.entries.forEach(function (entry, place) { if (!has(kinds, entry[2])) { kinds[entry[2]] = place; } });
    return hits(terms).map(function (place) {
      var entry = book.entries[place], score = 0;
      terms.forEach(function (each) { score += (each.best.get(place) || 0) * each.rarity; });
      var named = whole === tokens(entry[1]).join(" ") || whole === tokens(entry[3]).join(" ");
      var shouted = terms.every(function (each) { return each.shouted.has(place); });
      return { place: place, score: score, named: named, shouted: shouted, kind: kinds[entry[2]] };
    }).sort(function (a, b) {
      return a.kind - b.kind || b.named - a.named || b.shouted - a.shouted || b.score - a.score || a.place - b.place;
    });
  }

  if (book) { window.mothermoldFinder = { ranked: ranked, entries: book.entries, answers: book.answers }; }
})();
