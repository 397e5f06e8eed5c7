/* The batch sheet of the commands (reckon/batches.py), to the letter and in exact fractions:
   total = max(fill * castings * (1 + percent) * density + left in cups * portions, smallest batch). */
(function () {
  "use strict";
  var exact = window.mothermoldExact, COMMON_STEP = exact.of("1/10"), TOLERATED = exact.of("1/100");
  var ZERO = exact.of(0), ONE = exact.of(1);

  class Fault {
    constructor(code, fault, advice) { this.code = code; this.fault = fault; this.advice = advice; }
  }

  function maybe(value) { return value === null || value === undefined ? null : exact.of(value); }
  function byEye(part) { return Boolean(part.outside) && part.share === null && part.volume_share === null; }
  function listed(names) { return names.map(function (name) { return "`" + name + "`"; }).join(", "); }

  function lacks(mix) {
    return new Fault("missing-density", "A volume is asked, and the density of " + (listed(mix.lacking || []) || "this mix") + " is not in the book.",
      "Type `density: 1.05 g/ml` from the label in the material, or measure it on the mix.");
  }

  function density(mix) {
    if (mix.density === null) { throw lacks(mix); }
    return exact.of(mix.density);
  }

  /* Grams of an allowance; "?" stands for a volume whose density nobody knows. */
  function grams(mix, value) {
    if (value === "?") { throw lacks(mix); }
    return exact.of(value);
  }

  function volume(mix, mass) { return mix.density === null ? null : exact.div(mass, mix.density); }

  function cupsOf(mix) { return mix.left_in_cups === null ? ZERO : grams(mix, mix.left_in_cups); }

  function largest(mix, cups) {
    var most = grams(mix, mix.largest);
    if (exact.cmp(cups, most) >= 0) {
      throw new Fault("cups-too-large", "What stays in the cups is as much as the largest batch.", "Raise `largest_batch` or lower `left_in_cups`.");
    }
    return most;
  }

  function withCups(mix, poured) {
    var cups = cupsOf(mix), portions = ONE;
    /* Each portion leaves its own rest in its own cups, so the rests count towards the largest batch. */
    if (mix.largest !== null) { portions = exact.max(ONE, exact.ceil(exact.div(poured, exact.sub(largest(mix, cups), cups)))); }
    var mass = exact.add(poured, exact.mul(cups, portions));
    if (mix.smallest !== null) { mass = exact.max(mass, grams(mix, mix.smallest)); }
    return { mass: mass, portions: exact.number(portions) };
  }

  /* A page leaves the materials out where they are the parts. */
  function flatOf(mix) { return mix.materials || mix.parts; }

  function known(mix) {
    var found = new Map();
    flatOf(mix).concat(mix.parts).forEach(function (part) {
      if (!byEye(part) && !(part.share !== null && exact.cmp(part.share, 0) === 0) &&
          !(part.volume_share !== null && exact.cmp(part.volume_share, 0) === 0)) { found.set(part.name, part); }
    });
    return found;
  }

  /* Grams of the whole mix that an amount of one part makes. */
  function massFrom(mix, name, amount) {
    var part = known(mix).get(name);
    if (!part) {
      throw new Fault("unknown-part", "`" + name + "` is nothing that is measured in this mix.", "Type one of " + listed(Array.from(known(mix).keys())) + ".");
    }
    var heavy = amount.mass !== undefined, per = heavy ? part.share : part.volume_share;
    if (per === null) {
      throw new Fault("missing-density", "The density of `" + name + "` is not in the book.",
        "Say what is left in " + (heavy ? "milliliters" : "grams") + ", or type its density in the material.");
    }
    return exact.div(heavy ? amount.mass : amount.volume, per);
  }

  function fromLeftovers(mix, have) {
    var masses = have.map(function (each) { return massFrom(mix, each[0], each[1]); });
    weighed(mix);
    var mass = masses.reduce(function (least, each) { return exact.cmp(each, least) < 0 ? each : least; });
    var cups = cupsOf(mix), portions = ONE;
    if (mix.largest !== null) { portions = exact.max(ONE, exact.ceil(exact.div(mass, largest(mix, cups)))); }
    var poured = exact.max(exact.sub(mass, exact.mul(cups, portions)), ZERO);
    return { fill: volume(mix, exact.div(poured, exact.add(ONE, mix.percent))), mass: mass, portions: exact.number(portions) };
  }

  /* Without its weight in all nothing of a mix can be scaled. */
  function weighed(mix) { if (mix.unweighed) { throw lacks(mix); } }

  function total(mix, wanted) {
    var castings = exact.of(wanted.castings === undefined ? 1 : wanted.castings), found;
    if (exact.cmp(castings, 1) < 0 || castings.d !== ONE.d) { throw new Fault("out-of-range", "Castings are counted in whole numbers from 1.", "Type `1` or more."); }
    if (wanted.poured) { return fromLeftovers(mix, [[wanted.poured[0], { mass: wanted.poured[1] }]]); }
    if (wanted.have && wanted.have.length) { return fromLeftovers(mix, wanted.have); }
    if (wanted.piece !== undefined && wanted.piece !== null) {
      var weight = exact.mul(wanted.piece, castings);
      found = withCups(mix, weight);
      return { fill: volume(mix, weight), mass: found.mass, portions: found.portions };
    }
    var single = wanted.fill === undefined || wanted.fill === null ? maybe(mix.fill) : exact.of(wanted.fill);
    if (single === null) {
      if (mix.batch === null) {
        throw new Fault("no-fill", "Nothing says how much `" + mix.id + "` should fill.", "Say `--fill 185 ml`, or type `fills:`, `covers:` or `batch:` in the mix.");
      }
      return { fill: null, mass: exact.mul(grams(mix, mix.batch), castings), portions: 1, plain: false };
    }
    var fill = exact.mul(single, castings);
    found = withCups(mix, exact.mul(exact.mul(fill, exact.add(ONE, mix.percent)), density(mix)));
    return { fill: fill, mass: found.mass, portions: found.portions };
  }

  /* The finest scale that carries the cup with a part in it and can show the reading; null where none does. */
  function scaleFor(weight, scales, held, reads, least) {
    /** @type {Scale | null} */
    return scales.reduce(function (best, scale) {
      if (exact.cmp(scale.step, 0) <= 0 || exact.cmp(scale.step, least) < 0 || (best !== null && exact.cmp(scale.step, best.step) >= 0)) { return best; }
      var most = exact.max(exact.add(held, weight), exact.add(reads, exact.roundTo(weight, scale.step)));
      return exact.cmp(scale.up_to, most) >= 0 ? scale : best;
    }, null);
  }

  /* One way through the parts; coarsest: the step that parts of one weight must not be finer than. */
  function poured(parts, scale, mass, scales, coarsest) {
    var held = ZERO, reads = ZERO;
    return parts.map(function (part) {
      var weight = part.share === null ? null : exact.mul(part.share, scale), step = COMMON_STEP;
      var on = /** @type {Scale | null} */ (null), weigh = /** @type {Fraction | null} */ (null);
      if (weight !== null) {
        var least = coarsest.get(exact.text(weight)) || ZERO;
        on = scaleFor(weight, scales, held, reads, least);
        step = on === null ? exact.max(COMMON_STEP, least) : exact.of(on.step);
        weigh = exact.roundTo(weight, step);
        held = exact.add(held, weight);
        reads = exact.add(reads, weigh);
      }
      return {
        name: part.name, title: part.title, grams: weight,
        milliliters: part.volume_share === null ? null : exact.mul(part.volume_share, scale),
        share: weight !== null && mass !== null && exact.cmp(mass, 0) !== 0 ? exact.div(weight, mass) : null,
        weigh: weigh, reads: weigh === null ? null : reads, step: step, scale: on === null ? "" : on.id, outside: part.outside || ""
      };
    });
  }

  /* The lines of a sheet as reckon/weighing.py has them: parts of one weight go on one scale, so that they print equal. */
  function linesOf(parts, scale, mass, scales) {
    var coarsest = new Map(), lines, found, same = false;
    function steps(line) {
      var key = line.grams === null ? "" : exact.text(line.grams);
      if (key && (!found.has(key) || exact.cmp(line.step, found.get(key)) > 0)) { found.set(key, line.step); }
    }
    while (!same) {
      lines = poured(parts, scale, mass, scales, coarsest);
      found = new Map();
      lines.forEach(steps);
      same = lines.every(function (line) { return line.grams === null || exact.cmp(line.step, found.get(exact.text(line.grams))) === 0; });
      coarsest = found;
    }
    return lines;
  }

  /** What is said before each line about its scale: where the cup moves to another, or none carries it. @type {Batch["scaleWords"]} */
  function scaleWords(lines, scales) {
    var on = lines.filter(function (line) { return line.weigh !== null; }).map(function (line) { return line.scale; }), before = /** @type {string | null} */ (null);
    var moves = scales.length > 0 && on.some(function (name) { return name !== on[0] || !name; });
    return lines.map(function (line) {
      if (!moves || line.weigh === null || line.scale === before) { return ""; }
      var again = before === null ? "" : " from here";
      before = line.scale;
      return line.scale ? "On the scale " + line.scale + again + (again ? ": put the cup on, tare, and go by what to weigh" : "") + "."
        : "No scale of the book carries the cup" + again + "; weigh what follows by itself.";
    });
  }

  /* Where the allowance comes in, as grown_from of reckon/batches.py says it: 185 ml + 10 % + 15 g left in cups. */
  function grownFrom(mix, wanted, found) {
    var piece = wanted.piece !== undefined && wanted.piece !== null, turned = Boolean((wanted.have && wanted.have.length) || wanted.poured);
    if (mix.plain || (found.fill === null && !piece)) { return ""; }
    var castings = wanted.castings === undefined ? 1 : Number(wanted.castings), words, said;
    var single = turned ? found.fill : piece ? wanted.piece : wanted.fill === undefined || wanted.fill === null ? mix.fill : wanted.fill;
    words = [(castings > 1 && !turned ? castings + " x " : "") + exact.digits(single, 4) + (piece ? " g" : " ml")];
    if (exact.cmp(mix.percent, 0) > 0 && !piece) { words.push(exact.digits(exact.mul(mix.percent, 100), 3) + " %"); }
    if (mix.cups_said) { words.push((found.portions > 1 ? found.portions + " x " : "") + mix.cups_said + " left in cups"); }
    said = words.join(" + ");
    if (mix.smallest !== null && !turned && exact.cmp(found.mass, mix.smallest) === 0) { return said + ", at least the smallest batch of " + mix.smallest_said; }
    return words.length > 1 ? said : "";
  }

  /* The words of reckon/rounding.py. */
  function tooCoarse(line) {
    if (line.grams === null || exact.cmp(line.grams, 0) === 0) { return false; }
    var off = exact.sub(line.weigh, line.grams), bound = exact.mul(line.grams, TOLERATED);
    return exact.cmp(off, bound) > 0 || exact.cmp(exact.sub(ZERO, off), bound) > 0;
  }

  function warningsOf(mix, lines, plain) {
    var found = plain ? [{ code: "no-allowance", words: "No allowance is written, so nothing is left for cups and stick." }] : [];
    var heavier = /** @type {{ factor: Fraction, title: string } | null} */ (null), lighter = heavier;
    lines.forEach(function (line) {
      if (line.outside) {
        found.push({ code: "by-eye", words: line.title + " is measured by eye (" + line.outside + ") and stays outside the arithmetic." });
      } else if (tooCoarse(line)) {
        found.push({ code: "coarse-scale", words: line.title + " is " + exact.digits(line.grams, 3) + " g, and the scale shows steps of " + exact.digits(line.step, 3) + " g." });
      }
    });
    lines.forEach(function (line) {
      if (line.grams === null || exact.cmp(line.grams, 0) === 0 || exact.cmp(line.weigh, 0) === 0 || tooCoarse(line)) { return; }
      var factor = exact.div(line.weigh, line.grams);
      if (!heavier || exact.cmp(factor, heavier.factor) > 0) { heavier = { factor: factor, title: line.title }; }
      if (!lighter || exact.cmp(factor, lighter.factor) < 0) { lighter = { factor: factor, title: line.title }; }
    });
    var by = heavier && lighter ? exact.sub(exact.div(heavier.factor, lighter.factor), 1) : ZERO;
    if (heavier && lighter && exact.cmp(by, TOLERATED) > 0) {
      found.push({ code: "ratio-moved", words: "Rounded to the scale, " + heavier.title + " is " + exact.digits(exact.mul(by, 100), 2) + " % too much for " + lighter.title + "." });
    }
    return found.concat(mix.told || []);
  }

  /* The words of reckon/lots.py: where less is left than a batch of this weight needs. What somebody said is there is not asked. */
  function leftOf(mix, mass, wanted) {
    var given = (wanted.have || []).map(function (each) { return each[0]; }).concat(wanted.poured ? [wanted.poured[0]] : []);
    var scale = mix.fixed || mass === null ? ONE : mass;
    return (mix.left || []).filter(function (each) {
      return given.indexOf(each.name) < 0 && !(each.premixes || []).some(function (name) { return given.indexOf(name) >= 0; });
    }).map(function (each) {
      var left = exact.digits(each.amount, 4) + " " + each.unit + " of " + each.title + " are left";
      if (each.share === null || each.share === undefined) {
        return { code: "left-not-known", words: left + "; whether that is enough cannot be told without its density." };
      }
      var need = exact.mul(each.share, scale);
      if (exact.cmp(need, each.amount) <= 0) { return null; }
      var jar = each.through && each.through.length ? ", unless " + each.through.join(" and ") + " is mixed already" : "";
      var needed = exact.digits(need, 4) + " " + each.unit + " are needed" + jar;
      return each.unknown && each.unknown.length
        ? { code: "left-not-known", words: left + ", " + needed + "; how much lot " + each.unknown.join(" and ") + " still holds is not known." }
        : { code: "too-little-left", words: left + ", " + needed + "." };
    }).filter(Boolean);
  }

  function reckoned(mix, wanted, scales, flat) {
    var parts = flat ? flatOf(mix) : mix.parts, lines;
    if (mix.fixed) {
      if (Object.keys(wanted).some(function (key) { return key === "castings" ? Number(wanted[key]) !== 1 : wanted[key] !== undefined && wanted[key] !== null; })) {
        throw new Fault("not-scaled", "`" + mix.id + "` is written in fixed amounts and is not scaled.",
          "Ask for it without a fill, or give its parts as `parts:` in the recipe.");
      }
      lines = linesOf(parts, ONE, maybe(mix.mass), scales);
      return { fill: null, mass: maybe(mix.mass), volume: maybe(mix.volume), portions: 1, plain: false, grown: "", lines: lines, portion: lines, warnings: warningsOf(mix, lines, false).concat(leftOf(mix, maybe(mix.mass), wanted)) };
    }
    var found = total(mix, wanted);
    weighed(mix);
    if (flat && flatOf(mix).some(function (part) { return part.share === null && part.volume_share === null && !byEye(part); })) { throw lacks(mix); }
    lines = linesOf(parts, found.mass, found.mass, scales);
    /* One of several equal portions is weighed by itself, so its own weights are rounded and judged. */
    var each = found.portions > 1 ? exact.div(found.mass, found.portions) : null, portion = each === null ? lines : linesOf(parts, each, each, scales);
    var plain = found.plain === undefined ? mix.plain : found.plain;
    return {
      fill: found.fill, mass: found.mass, volume: volume(mix, found.mass), portions: found.portions, plain: plain, grown: grownFrom(mix, wanted, found),
      lines: lines, portion: portion, warnings: warningsOf(mix, portion, plain).concat(leftOf(mix, found.mass, wanted))
    };
  }

  /** Lots of a mix that are past their date on a day, as 2026-04-18. @type {Batch["pastDate"]} */
  function pastDate(mix, today) {
    return (mix.lots || []).filter(function (each) { return each.last < today; }).map(function (each) {
      return { code: "lot-past-date", words: "Lot " + each.lot + " of " + each.title + " is past its date: " + each.last + " was the last day." };
    });
  }

  /* mix: what pages/batching.py gives a page; wanted: {fill} | {piece} | {have: [[name, {mass | volume}]]} |
     {poured: [name, grams]} | {}, and castings; scales: [{step, up_to}]; options: {flat}. Of several portions `portion` has
     the lines of one, and it is they that are warned about. */
  /** @returns {any} */
  function sheet(mix, wanted, scales, options) {
    try {
      return reckoned(mix, wanted || {}, scales || [], Boolean(options && options.flat));
    } catch (problem) {
      if (!(problem instanceof Fault)) { throw problem; }
      return { code: problem.code, fault: problem.fault, advice: problem.advice };
    }
  }

  /** What is to be done about the parts before the poured one: how much more of each, less than nothing where it is over. @type {Batch["adjusted"]} */
  function adjusted(before, after, name) {
    var place = after.lines.findIndex(function (line) { return line.name === name; });
    return after.lines.slice(0, Math.max(place, 0)).map(function (line, index) {
      var was = before.lines[index].weigh;
      return { name: line.name, title: line.title, step: line.step, add: was === null || line.weigh === null ? ZERO : exact.sub(line.weigh, was) };
    }).filter(function (each) { return exact.cmp(each.add, ZERO) !== 0; });
  }

  window.mothermoldBatch = { sheet: sheet, pastDate: pastDate, adjusted: adjusted, scaleWords: scaleWords };
})();
