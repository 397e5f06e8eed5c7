/* Reads words as the tool does: find/stems.py and the spellings, forms and negations of find/thesaurus.py. What a page finds by, and what
   calls first aid, both read a query through this; a test holds it to the command. */
(function () {
  "use strict";
  var LABEL = /(^|[^\p{L}\p{N}_-])([a-z]{1,3})-([0-9]{1,4}[a-z]?)(?![\p{L}\p{N}_-])/gu;
  var MANY = [["sses", "ss"], ["ies", "y"], ["ied", "y"], ["ches", "ch"], ["shes", "sh"], ["xes", "x"]];

  /* Reading by a table of spellings, negations and helpers. */
  window.mothermoldStems = function (table) {
    var no = new Set(table.negations), before = new Set(table.helpers);

    function fold(text) {
      return text.normalize("NFKD").toLowerCase().normalize("NFKD").replace(/\p{Mn}/gu, "").replace(/ß/g, "ss").replace(/ς/g, "σ");
    }

    /** @type {Reading["tokens"]} */
    function tokens(text) {
      return fold(text).replace(/['’`]/g, "").replace(LABEL, "$1$2$3").match(/[\p{L}\p{N}]+/gu) || [];
    }

    /** @type {Reading["stem"]} */
    function stem(word) {
      if (Object.prototype.hasOwnProperty.call(table.forms, word)) { word = table.forms[word]; }
      var whole = word;
      var many = MANY.find(function (each) { return word.endsWith(each[0]) && word.length > each[0].length + 1; });
      if (many) { word = word.slice(0, -many[0].length) + many[1]; }
      else if (word.length > 3 && /s$/.test(word) && !/(ss|us|is)$/.test(word)) { word = word.slice(0, -1); }
      var done = ["ing", "ed"].find(function (ending) {
        var rest = word.slice(0, -ending.length);
        return word.endsWith(ending) && rest.length >= 3 && /[aeiouy]/.test(rest) && !(ending === "ed" && rest.endsWith("e"));
      });
      if (done) {
        word = word.slice(0, -done.length);
        if (word.slice(-1) === word.slice(-2, -1) && !/[lsz]$/.test(word) || /[aeiouy].*ell$/.test(word)) { word = word.slice(0, -1); }
      }
      word = word.length > 3 && word.endsWith("e") ? word.slice(0, -1) : word;
      /* Vulcanised and vulcanizer are read with a z, raised and basis as they are. */
      if (/^.{4,}iser$/.test(word) || word !== whole && /^.{4,}is$/.test(word)) { word = word.replace(/is(er)?$/, "iz$1"); }
      return spelled(word);
    }

    /** The words of a text, every no said as "not". @type {Reading["read"]} */
    function read(text) {
      var found = [];
      tokens(text).forEach(function (word) {
        if (word === "not" || no.has(word)) {
          while (found.length && (found[found.length - 1] === "not" || before.has(found[found.length - 1]))) { found.pop(); }
          word = "not";
        }
        found.push(word);
      });
      return found;
    }

    /** Whether two words in a row may be one, as "pin hole", or "F 04". @type {Reading["mayJoin"]} */
    function mayJoin(one, other) {
      if (one === "not" || other === "not") { return false; }
      return one.length >= 3 && other.length >= 3 || /^\p{L}+$/u.test(one) && /^[0-9]{1,4}[a-z]?$/.test(other);
    }

    function spelled(word) {
      Object.keys(table.spellings).forEach(function (other) {
        var kept = table.spellings[other], inside = other.length >= 5;
        if (word === other) { word = kept; }
        else if (inside && word.startsWith(other)) { word = kept + word.slice(other.length); }
        else if (inside && word.endsWith(other)) { word = word.slice(0, -other.length) + kept; }
      });
      return word;
    }

    /** How many letters are wrong, missing, too many or swapped; more than `most` is not counted out. @type {Reading["slips"]} */
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

    return { tokens: tokens, read: read, stem: stem, slips: slips, mayJoin: mayJoin };
  };
})();
