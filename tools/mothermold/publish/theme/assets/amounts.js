/* Reads an amount as it is typed at the bench. The units come from units.js, which the build writes out of the
   table the commands use; a comma is a decimal here unless it can mean thousands. */
(function () {
  "use strict";
  var exact = window.mothermoldExact, table = window.mothermoldUnits;
  var NUMBER = "[+-]?\\d+(?:\\.\\d+)?";
  var SINGLE = new RegExp("^(" + NUMBER + ")\\s*(\\D[^]*)?$");
  var RANGE = new RegExp("^(" + NUMBER + ")\\s*(?:-|–|—|to)\\s*(" + NUMBER + ")\\s*(\\D[^]*)?$");
  /* The bounds of the command (quantities/units.py), but for what one bench mixes; no pattern sees a longer text. */
  var LONGEST = 60, MOST = 1000000, HOTTEST = 10000, LEAST = exact.of("1e-9");

  function unitOf(name) { return Object.prototype.hasOwnProperty.call(table.units, name) ? table.units[name] : null; }

  /** @returns {any} What stands in the place of an amount. */
  function no(code, fault, advice) { return { code: code, fault: fault, advice: advice }; }

  function words(wanted) { return wanted.map(function (each) { return table.words[each][0]; }).join(" or "); }

  function example(wanted) {
    return "Type " + words(wanted) + ", for instance " + wanted.map(function (each) {
      return "`" + table.words[each][1] + "`";
    }).join(" or ") + ".";
  }

  /* The text with its decimal comma as a point, or what is wrong with the comma. */
  function pointed(text) {
    if (!/\d,\d/.test(text)) { return text; }
    var joined = text.replace(/,/g, ""), several = (text.match(/\d,(?=\d)/g) || []).length > 1;
    if (/\d\.\d+,\d/.test(text)) {
      return no("decimal-comma", "`" + text + "` has a point and a comma.",
        "Type `" + text.replace(/\./g, "").replace(",", ".") + "` with one point, if a decimal comma was meant.");
    }
    if (several || /,\d+\.\d/.test(text)) {
      return no("decimal-comma", "`" + text + "` has commas for thousands.", "Type `" + joined + "` without them.");
    }
    /* Only one to three digits, not beginning with 0, can have thousands behind them. */
    if (/(?:^|\D)[1-9]\d{0,2},\d{3}(?!\d)/.test(text)) {
      return no("decimal-comma", "The comma in `" + text + "` can mean a decimal or thousands.",
        "Type `" + text.replace(",", ".") + "` with a point, or `" + joined + "` if thousands were meant.");
    }
    return text.replace(/(\d),(?=\d)/g, "$1.");
  }

  function compoundTime(text) {
    var piece = /(\d+(?:\.\d+)?)\s*([^\d\s]+)\s*/g, found = [], one;
    while ((one = piece.exec(text))) { found.push(one); }
    if (found.length < 2 || text.replace(piece, "").trim()) { return null; }
    /** @type {string | null} */
    var last = null, total = exact.of(0);
    for (var i = 0; i < found.length; i += 1) {
      var unit = unitOf(found[i][2]);
      if (!unit || unit[0] !== "time") { return null; }
      if (last !== null && exact.cmp(unit[1], last) >= 0) {
        return no("bad-quantity", "`" + text + "` does not go from the longer unit to the shorter.", "Type `2 h 30 min`.");
      }
      total = exact.add(total, exact.mul(found[i][1], unit[1]));
      last = unit[1];
    }
    return { exact: total, dimension: "time" };
  }

  function single(text, wanted, given) {
    if (/\d_\d/.test(text)) {
      return no("bad-quantity", "`" + text + "` has an underscore between its digits.", "Type `" + text.replace(/_/g, "") + "`.");
    }
    var clock = /^(\d{1,3}):(\d{2})(?::\d{2})?$/.exec(text);
    if (clock) {
      return wanted.indexOf("time") < 0
        ? no("bad-quantity", "`" + text + "` is a ratio or a time, not " + words(wanted) + ".", example(wanted))
        : no("bad-time", "`" + text + "` can be hours and minutes or minutes and seconds.",
          "Type `" + Number(clock[1]) + " h " + Number(clock[2]) + " min` or `" + Number(clock[1]) + " min " + Number(clock[2]) + " s`.");
    }
    var compound = wanted.indexOf("time") < 0 ? null : compoundTime(text);
    if (compound) { return compound; }
    if (RANGE.test(text)) {
      return no("range", "`" + text + "` is a range, and one amount is wanted here.", example(wanted));
    }
    var read = SINGLE.exec(text), name = read && read[2] ? read[2].trim().split(/\s+/).join(" ") : "";
    if (!read || (/\d/.test(name) && !unitOf(name))) {
      var power = /^\d+(?:\.\d+)?[eE]\+?\d{1,2}\b/.exec(text);
      return no("bad-quantity", "`" + text + "` cannot be read as " + words(wanted) + ".", power
        ? "Type `" + exact.fixed(power[0].replace("+", ""), 0) + text.slice(power[0].length) + "` in plain digits." : example(wanted));
    }
    if (!name && given && given.unit) { name = given.unit; }
    return withUnit(text, read[1], name, wanted);
  }

  function withUnit(text, number, name, wanted) {
    if (!name) {
      if (wanted.indexOf("number") >= 0) { return { exact: exact.of(number), dimension: "number" }; }
      var choices = wanted.map(function (each) { return "`" + number + " " + table.words[each][1].replace(/^\S+ ?/, "").split(" ").pop() + "`"; });
      return no("missing-unit", "`" + number + "` has no unit.", "Type the unit too: " + choices.join(" or ") + ".");
    }
    var folded = name.toLowerCase();
    if (Object.prototype.hasOwnProperty.call(table.doubtful, folded)) {
      var clear = table.doubtful[folded].filter(function (each) { return wanted.indexOf(table.units[each][0]) >= 0; });
      return no("bare-ounce", "`" + name + "` means different amounts in different places.", clear.length
        ? "Type " + clear.map(function (each) { return "`" + number + " " + each + "`"; }).join(" or ") + ", or measure it in metric units."
        : example(wanted));
    }
    var unit = unitOf(name);
    if (!unit) { return no("wrong-unit", "`" + name + "` is not a unit known here.", example(wanted)); }
    if (wanted.indexOf(unit[0]) < 0) {
      return name === "oz" && wanted.indexOf("volume") >= 0
        ? no("bare-ounce", "`oz` is a weight, and a volume is wanted here.",
          "Type `" + number + " US fl oz` or `" + number + " imp fl oz`, or milliliters.")
        : no("wrong-unit", "`" + number + " " + name + "` is " + table.words[unit[0]][0] + "; " + words(wanted) + " is wanted here.", example(wanted));
    }
    var value = exact.add(exact.mul(number, unit[1]), unit[2] || 0);
    return { exact: value, dimension: unit[0] };
  }

  function tooLong(wanted) { return no("too-long", "That is too long for an amount.", example(wanted)); }

  /** wanted: dimensions such as ["mass", "volume"]; given: {unit: "g"} where the unit stands beside the field. @type {Amounts["read"]} */
  function read(typed, wanted, given) {
    if (String(typed).length > 10 * LONGEST) { return tooLong(wanted); }
    var text = String(typed).replace(/[\u00a0\u2009\u202f]/g, " ").replace(/\u2212/g, "-").trim();
    if (!text) { return no("empty", "Nothing is typed yet.", example(wanted)); }
    if (text.length > LONGEST) { return tooLong(wanted); }
    var plain = pointed(text);
    if (plain.fault) { return plain; }
    var found = single(plain, wanted, given);
    if (found.fault) { return found; }
    var sign = exact.cmp(found.exact, 0);
    if (found.dimension === "temperature") {
      if (exact.cmp(found.exact, HOTTEST) > 0 || exact.cmp(found.exact, -HOTTEST) < 0) {
        return no("out-of-range", "`" + text + "` is no temperature of a bench.", "Look again at the number and its unit.");
      }
    } else {
      if (sign < 0) { return no("out-of-range", "`" + text + "` is less than nothing.", example(wanted)); }
      if (sign === 0) { return no("out-of-range", "`" + text + "` is nothing.", "Give an amount above 0."); }
      if (exact.cmp(found.exact, LEAST) < 0) {
        return no("out-of-range", "`" + text + "` is less than any bench works with.", "Look again at the number and its unit.");
      }
      if (exact.cmp(found.exact, MOST) > 0) {
        return no("out-of-range", "`" + text + "` is more than any bench mixes.", "Look again at the number and its unit.");
      }
    }
    return { value: exact.number(found.exact), exact: found.exact, dimension: found.dimension, text: text };
  }

  window.mothermoldAmounts = { read: read };
})();
