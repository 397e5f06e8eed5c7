/* What today's room, mold and materials mean for a recipe: the limits and the words of mothermold.trade.rooms. Pure: numbers in
   degC go in, sentences come out. A mold or materials measured themselves outrank the room. */
(function () {
  "use strict";

  function plain(value) { return String(Number(value.toPrecision(4))); }

  /* Half a minute goes to the even one, as in the commands. */
  function minutes(value) {
    var whole = Math.round(value);
    if (whole - value === 0.5 && whole % 2) { whole -= 1; }
    var days = Math.floor(whole / 1440), hours = Math.floor(whole % 1440 / 60), rest = whole % 60;
    if (whole < 2880) { hours += 24 * days; days = 0; }
    return [days ? days + " d" : "", hours ? hours + " h" : "", rest && !days ? rest + " min" : ""].filter(Boolean).join(" ") || "0 min";
  }

  function capital(text) { return text.charAt(0).toUpperCase() + text.slice(1); }
  function known(value) { return value !== null && value !== undefined; }

  function first(noted, key, words) {
    if (known(noted[key])) { return { what: words, value: noted[key] }; }
    return known(noted.room) ? { what: "the room", value: noted.room } : null;
  }
  function ofMold(noted) { return first(noted, "mold", "the mold"); }
  function ofMaterial(noted) { return first(noted, "material", "the material"); }

  function broken(limit, noted) {
    var seen = [];
    return [["the room", noted.room], ["the mold", noted.mold], ["the material", noted.material]].filter(function (each) {
      if (!known(each[1]) || (each[1] >= limit.low && each[1] <= limit.high) || seen.indexOf(each[1]) >= 0) { return false; }
      seen.push(each[1]);
      return true;
    });
  }

  /* The short end over all ends of what is written; null where it is too far away to be reckoned. */
  function short(life, today) {
    if (!today || !life.at) { return life.low; }
    var found = [];
    life.at.forEach(function (at) {
      [life.low, life.high].forEach(function (time) { found.push(window.mothermoldSetting.cure({ time: time, at: at, room: today.value })); });
    });
    return found.some(function (each) { return each.fault; }) ? null : Math.min.apply(null, found.map(function (each) { return each.short; }));
  }

  function closing(each, noted) {
    var life = each.life, today = ofMaterial(noted), where = today ? " at " + plain(today.value) + " degC" : "";
    function unknown(words) { return { code: "pot-life-not-known", mix: each.mix, words: words }; }
    if (!life) {
      return today || each.starts ? unknown(each.title + " has no pot life written: how long it can be poured" + where + " is not known.") : null;
    }
    if (today && !life.at) { return unknown("The pot life of " + each.title + ", " + life.time + ", says no temperature: what it is" + where + " is not known."); }
    var left = short(life, today);
    if (today && left === null) {
      return unknown(capital(today.what) + " is " + plain(today.value) + " degC, the pot life of " + each.title + " is written for " + life.written_for + ": that is too far apart to work out.");
    }
    if (!known(each.minutes)) {
      return today ? unknown("From B to closed " + each.title + " has no time written: whether the " + minutes(left) + " of its pot life" + where + " are enough is not known.") : null;
    }
    if (each.minutes <= left) { return null; }
    return {
      code: "pot-life-too-short", mix: each.mix,
      words: "From B to closed the steps take " + minutes(each.minutes) + "; the pot life may end after " + minutes(left) + (where || (life.written_for ? " at " + life.written_for : "")) + "."
    };
  }

  function cold(limit, noted) {
    var coldest = [ofMold(noted), ofMaterial(noted)].reduce(function (least, each) { return !least || (each && each.value < least.value) ? each : least; }, null);
    if (!coldest || coldest.value >= limit.under) { return null; }
    return {
      code: limit.code, step: limit.step,
      words: capital(coldest.what) + " is " + plain(coldest.value) + " degC, and " + limit.material + " is used at “" + limit.title + "”: under " + limit.under + " degC " + limit.happens + "."
    };
  }

  /** limits: what pages/room_data.py gives a page; noted: {room, mold, material}, each a number or null. Of each sentence its code,
     and its step or its mix. @type {Room["told"]} */
  function told(limits, noted) {
    var found = [];
    limits.steps.forEach(function (limit) {
      broken(limit, noted).forEach(function (each) {
        found.push({ code: "room-outside", step: limit.step, words: capital(each[0]) + " is " + plain(each[1]) + " degC, and “" + limit.title + "” is written for " + limit.asks + "." });
      });
    });
    return found.concat(limits.cold.map(function (limit) { return cold(limit, noted); }), limits.closing.map(function (each) { return closing(each, noted); })).filter(Boolean);
  }

  window.mothermoldRoom = { told: told };
})();
