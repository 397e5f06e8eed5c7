/* The small sums of the bench, as mothermold.reckon.gypsum, .cure and .curve reckon them: the same formulas, limits and
   refusals. Pure: numbers in base units (g, ml, min, mm, g/ml, degC) go in, numbers or one fault come out. */
(function () {
  "use strict";
  var POWDER = 2.75, WATER = 0.998, WATER_AT_20 = 0.998207, GAUGING = 100 * 1.5 * 18.015 / 145.14, WETTEST = 100;
  var COLDEST = 10, WARMEST = 40, REACH = 15, STALLS_UNDER = 15;
  var FARTHEST = Math.PI / 2, LARGEST = 0.2, HALVINGS = 60;

  /** @returns {any} What stands in the place of an answer. */
  function no(fault, advice) { return { fault: fault, advice: advice }; }

  function short(value) { return String(Number(value.toPrecision(4))); }

  function positive(values) {
    return values.every(function (each) { return each > 0 && isFinite(each); })
      ? null : no("An amount here is nothing or less.", "Give numbers above 0.");
  }

  function ratioFault(ratio) {
    if (!(ratio >= GAUGING)) {
      return no(short(ratio) + " g of water per 100 g is less than the " + GAUGING.toFixed(3) + " g the powder binds.",
        "Some of it would never set. Take the W/P from the bag, as 38 for a strong gypsum cement.");
    }
    return ratio > WETTEST
      ? no(short(ratio) + " g of water per 100 g sets to nothing a mold can be made of.",
        "Take the W/P from the bag; casting plaster has 60 to 70, and over 100 is not worked out here.") : null;
  }

  /** asked: {fill} in ml or {powder} in g, {ratio}, perhaps {powderDensity, waterDensity}. @type {Setting["gypsum"]} */
  function gypsum(asked) {
    var density = asked.powderDensity === undefined ? POWDER : asked.powderDensity;
    var waterDensity = asked.waterDensity === undefined ? WATER : asked.waterDensity;
    var given = asked.fill === undefined ? asked.powder : asked.fill;
    var fault = ratioFault(asked.ratio) || positive([given, density, waterDensity]);
    if (fault) { return fault; }
    var perGram = 1 / density + asked.ratio / 100 / waterDensity;
    var powder = asked.fill === undefined ? Number(asked.powder) : asked.fill / perGram;
    var water = powder * asked.ratio / 100, volume = powder * perGram, bound = powder * GAUGING / 100;
    var wet = powder + water, dry = powder + bound;
    var capacity = (100 + GAUGING) * 1.09 + (asked.ratio - GAUGING) * 4.18;
    return {
      powder: powder, water: water, volume: volume, wetDensity: wet / volume, freeWater: water - bound, dry: dry,
      dryDensity: dry / volume, loss: (wet - dry) / wet, riseAlpha: 100 * 118 / capacity, riseBeta: 100 * 133 / capacity
    };
  }

  /** asked: {demolded} in g, {ratio}. @type {Setting["dry"]} */
  function dry(asked) {
    return ratioFault(asked.ratio) || positive([asked.demolded])
      || { target: asked.demolded * (100 + GAUGING) / (100 + asked.ratio) };
  }

  /** asked: {time} in min, {at} and {room} in degC. @type {Setting["cure"]} */
  function cure(asked) {
    var fault = positive([asked.time]);
    if (fault) { return fault; }
    if (!(asked.room >= COLDEST && asked.room <= WARMEST)) {
      return no(short(asked.room) + " °C is outside 10 to 40 °C, where the rule is used.",
        "Bring the room or the material nearer to the label's temperature, or time a small cup of the mix.");
    }
    if (!(Math.abs(asked.room - asked.at) <= REACH)) {
      return no(short(asked.room) + " °C is more than 15 K away from the " + short(asked.at) + " °C the time is stated for.",
        "Ask the maker, or time a small cup of the same mix in that room.");
    }
    var times = [1.5, 2, 2.5].map(function (q10) { return asked.time * Math.pow(q10, (asked.at - asked.room) / 10); });
    return {
      short: Math.min(times[0], times[2]), usual: times[1], long: Math.max(times[0], times[2]),
      stalls: asked.room < STALLS_UNDER
    };
  }

  function disc(ratio, saddle) { return (saddle ? Math.sinh(ratio) : Math.sin(ratio)) / ratio - 1; }
  function band(ratio, saddle) { return (saddle ? Math.cosh(ratio) : Math.cos(ratio)) - 1; }

  function reaching(share, saddle, tolerance) {
    var low = 0, high = FARTHEST;
    for (var i = 0; i < HALVINGS; i += 1) {
      var middle = (low + high) / 2;
      if (Math.abs(share(middle, saddle)) < tolerance) { low = middle; } else { high = middle; }
    }
    return low;
  }

  /** asked: {shape: "disc" or "band", half, radius, across or null for flat, saddle, tolerance as a share}. @type {Setting["curve"]} */
  function curve(asked) {
    var lengths = [asked.half, asked.radius].concat(asked.across === null ? [] : [asked.across]);
    var fault = positive(lengths);
    if (fault) { return fault; }
    if (!(asked.tolerance > 0 && asked.tolerance <= LARGEST)) {
      return no("A tolerance of " + short(asked.tolerance * 100) + " % is outside what the formulas are used for.",
        "Give more than 0 and at most 20 %; 2 % is usual.");
    }
    if (asked.across === null) { return { surface: "flat", radius: null, share: 0, about: 0, wrinkle: 0, largest: null }; }
    var one = Math.sqrt(asked.radius * asked.across), ratio = asked.half / one;
    if (ratio > FARTHEST) {
      return no(short(asked.half) + " mm from the middle is more than a quarter of the way round a radius of " + short(one) + " mm.",
        "Work out one smaller piece at a time, or cast it over the head's own shape.");
    }
    var share = asked.shape === "disc" ? disc : band, off = share(ratio, asked.saddle);
    var along = asked.shape === "disc" ? 2 * Math.PI * asked.half : 100;
    return {
      surface: asked.saddle ? "saddle" : "dome", radius: one, share: off,
      about: (asked.saddle ? 1 : -1) * ratio * ratio / (asked.shape === "disc" ? 6 : 2),
      wrinkle: -off * along, largest: one * reaching(share, asked.saddle, asked.tolerance)
    };
  }

  /** asked: {weight} in g, {density} in g/ml, that of water unless given. @type {Setting["cavity"]} */
  function cavity(asked) {
    var density = asked.density === undefined ? WATER_AT_20 : asked.density;
    return positive([asked.weight, density]) || { volume: asked.weight / density };
  }

  window.mothermoldSetting = { gypsum: gypsum, dry: dry, cure: cure, curve: curve, cavity: cavity };
})();
