/* Time at the bench: what a pot life is today, how long is left, and an entry for the phone's own calendar. Pure. */
(function () {
  "use strict";

  /** The end to close by and the end to demold by: both of today's band where the temperature is known, else as written. @type {Clock["today"]} */
  function today(timed, room) {
    var reckoned = window.mothermoldSetting, stated = (timed.at || []).filter(function (each, place, all) { return all.indexOf(each) === place; });
    var band = { short: timed.low, long: timed.high, words: timed.words, note: "", cold: false }, at = stated.join(" to ");
    if (!stated.length || room === null || !reckoned) {
      band.note = "as written" + (stated.length ? " for " + at + " °C" : "");
      return band;
    }
    /* All ends of what is stated: the shortest to close by, the longest to demold by. */
    var found = [];
    stated.forEach(function (each) {
      [timed.low, timed.high].forEach(function (time) { found.push(reckoned.cure({ time: time, at: each, room: room })); });
    });
    var wrong = found.find(function (each) { return each.fault; });
    if (wrong) {
      band.note = "as written for " + at + " °C: " + wrong.fault;
      return band;
    }
    return {
      short: Math.min.apply(null, found.map(function (each) { return each.short; })), long: Math.max.apply(null, found.map(function (each) { return each.long; })),
      words: timed.words, reckoned: true, cold: found[0].stalls, note: "worked out for " + room + " °C from " + timed.words + " at " + at + " °C"
    };
  }

  /** 4:05 or 1:02:09; what is over shows with a plus. @type {Clock["digits"]} */
  function digits(milliseconds) {
    var over = milliseconds < 0, seconds = over ? Math.floor(-milliseconds / 1000) : Math.ceil(milliseconds / 1000);
    var hours = Math.floor(seconds / 3600), minutes = Math.floor(seconds % 3600 / 60), rest = seconds % 60;
    function two(value) { return (value < 10 ? "0" : "") + value; }
    return (over ? "+" : "") + (hours ? hours + ":" + two(minutes) : minutes) + ":" + two(rest);
  }

  /** @type {Clock["words"]} */
  function words(minutes) {
    var whole = Math.round(minutes), hours = Math.floor(whole / 60), rest = whole % 60;
    if (whole < 1) { return Math.max(1, Math.round(minutes * 60)) + " s"; }
    return [hours ? hours + " h" : "", rest ? rest + " min" : ""].filter(Boolean).join(" ");
  }

  function stamp(time) {
    return new Date(time).toISOString().replace(/[-:]|\.\d+/g, "");
  }

  /** RFC 5545: an event with an alarm at its start, for a phone that is locked. Long lines are folded at 75 octets. @type {Clock["calendar"]} */
  function calendar(name, end, id, now) {
    var plain = window.mothermoldRun.clean(name).replace(/[\\;,]/g, "\\$&");
    var lines = ["BEGIN:VCALENDAR", "VERSION:2.0", "PRODID:-//mothermold//bench//EN", "BEGIN:VEVENT", "UID:" + id + "@mothermold.invalid",
      "DTSTAMP:" + stamp(now), "DTSTART:" + stamp(end), "DTEND:" + stamp(end + 300000), "SUMMARY:" + plain, "BEGIN:VALARM", "ACTION:DISPLAY",
      "DESCRIPTION:" + plain, "TRIGGER:PT0S", "END:VALARM", "END:VEVENT", "END:VCALENDAR"];
    return lines.map(fold).join("\r\n") + "\r\n";
  }

  function fold(line) {
    var folded = "", length = 0;
    Array.from(line).forEach(function (letter) {
      var size = new TextEncoder().encode(letter).length;
      if (length + size > 74) { folded += "\r\n "; length = 1; }
      folded += letter;
      length += size;
    });
    return folded;
  }

  window.mothermoldClock = { today: today, digits: digits, words: words, calendar: calendar };
})();
