/* Exact fractions, so that a batch reckoned here equals the one the command reckons, to the last digit. */
(function () {
  "use strict";
  var ZERO = BigInt(0), ONE = BigInt(1), TWO = BigInt(2), TEN = BigInt(10);

  /* A fraction of a page's own data has some hundred digits at most; a power of ten is bounded by its pattern. */
  var LONGEST = 5000;

  /** @param {bigint} n */
  function abs(n) { return n < ZERO ? -n : n; }

  /** @param {bigint} n @param {bigint} d @returns {Fraction} */
  function made(n, d) {
    if (d === ZERO) { throw new RangeError("division by nothing"); }
    if (d < ZERO) { n = -n; d = -d; }
    var a = abs(n), b = d, rest;
    while (b) { rest = a % b; a = b; b = rest; }
    return a > ONE ? { n: n / a, d: d / a } : { n: n, d: d };
  }

  /** "22/7", "1.08", "-3", "1e-7", a number as it prints, or a fraction already made. @returns {Fraction} */
  function of(value) {
    if (value !== null && typeof value === "object") { return value; }
    if (String(value).length > LONGEST) { throw new RangeError("a number without end"); }
    var read = /^([+-]?)(\d+)(?:\.(\d+))?(?:[eE]([+-]?\d{1,3}))?(?:\/([1-9]\d*))?$/.exec(String(value));
    if (!read) { throw new RangeError("no number: " + value); }
    var n = BigInt(read[2] + (read[3] || "")), d = TEN ** BigInt((read[3] || "").length), power = Number(read[4] || 0);
    if (power >= 0) { n *= TEN ** BigInt(power); } else { d *= TEN ** BigInt(-power); }
    return made(read[1] === "-" ? -n : n, d * BigInt(read[5] || 1));
  }

  /** @type {Exact["add"]} */
  function add(a, b) { a = of(a); b = of(b); return made(a.n * b.d + b.n * a.d, a.d * b.d); }
  /** @type {Exact["sub"]} */
  function sub(a, b) { a = of(a); b = of(b); return made(a.n * b.d - b.n * a.d, a.d * b.d); }
  /** @type {Exact["mul"]} */
  function mul(a, b) { a = of(a); b = of(b); return made(a.n * b.n, a.d * b.d); }
  /** @type {Exact["div"]} */
  function div(a, b) { a = of(a); b = of(b); return made(a.n * b.d, a.d * b.n); }

  /** @type {Exact["cmp"]} */
  function cmp(a, b) {
    a = of(a); b = of(b);
    var left = a.n * b.d, right = b.n * a.d;
    return left < right ? -1 : left > right ? 1 : 0;
  }

  /** @type {Exact["max"]} */
  function max(a, b) { return cmp(a, b) < 0 ? of(b) : of(a); }

  /** @type {Exact["floor"]} */
  function floor(q) {
    q = of(q);
    var whole = q.n / q.d;
    return { n: whole * q.d > q.n ? whole - ONE : whole, d: ONE };
  }

  /** @type {Exact["ceil"]} */
  function ceil(q) {
    q = of(q);
    var down = floor({ n: -q.n, d: q.d });
    return { n: -down.n, d: ONE };
  }

  /** To a scale's step, halves up, as a bench does. @type {Exact["roundTo"]} */
  function roundTo(q, step) { return mul(floor(add(div(q, step), { n: ONE, d: TWO })), step); }

  /** The nearest float, also of fractions whose halves are too long for one. @type {Exact["number"]} */
  function number(q) {
    q = of(q);
    if (!q.n) { return 0; }
    var n = abs(q.n), bits = n.toString(2).length - q.d.toString(2).length, shift = 66 - bits;
    var up = shift > 0 ? n << BigInt(shift) : n, down = shift < 0 ? q.d << BigInt(-shift) : q.d;
    var whole = up / down;
    /* What is cut off tips a tie, so one bit of it is kept. */
    if (whole * down !== up) { whole |= ONE; }
    var value = Number(whole) * Math.pow(2, -shift);
    return q.n < ZERO ? -value : value;
  }

  /** @type {Exact["text"]} */
  function text(q) { q = of(q); return q.d === ONE ? String(q.n) : q.n + "/" + q.d; }

  /** With so many places after the point, halves up. @type {Exact["fixed"]} */
  function fixed(q, places) {
    var factor = TEN ** BigInt(places), whole = roundTo(mul(q, { n: factor, d: ONE }), 1).n;
    var digits = String(abs(whole)).padStart(places + 1, "0"), cut = digits.length - places;
    return (whole < ZERO ? "-" : "") + digits.slice(0, cut) + (places ? "." + digits.slice(cut) : "");
  }

  /** With so many digits that matter, never in powers, without needless zeros. @type {Exact["digits"]} */
  function digits(q, count) {
    q = of(q);
    if (!q.n) { return "0"; }
    var size = { n: abs(q.n), d: q.d }, power = String(size.n).length - String(size.d).length;
    if (cmp(size, ten(power)) < 0) { power -= 1; }
    var rounded = roundTo(q, ten(power - count + 1)), words = fixed(rounded, Math.max(0, count - 1 - power));
    return words.includes(".") ? words.replace(/\.?0+$/, "") : words;
  }

  function ten(power) {
    return power < 0 ? { n: ONE, d: TEN ** BigInt(-power) } : { n: TEN ** BigInt(power), d: ONE };
  }

  window.mothermoldExact = {
    of: of, add: add, sub: sub, mul: mul, div: div, cmp: cmp, max: max, floor: floor, ceil: ceil,
    roundTo: roundTo, number: number, text: text, fixed: fixed, digits: digits
  };
})();
