/* A run as the bench notes it, and the same as a document of the book. Pure: it touches neither page nor storage. */
(function () {
  "use strict";

  /** Text on one line. What cannot be shown is left out: control letters, direction marks, halves of a letter. @type {RunDocument["clean"]} */
  function clean(text) {
    var whole = Array.from(String(text)).filter(function (letter) { return !/^[\ud800-\udfff]$/.test(letter); }).join("");
    return whole.replace(/[\u0000-\u001f\u007f-\u00a0\u00ad\u200b-\u200f\u2028-\u202e\u2060-\u206f\ufeff\ufff0-\uffff]+/g, " ").replace(/ +/g, " ").trim();
  }

  /* Any text as one quoted scalar: JSON's quotes are also the book's. */
  function quoted(text) { return JSON.stringify(clean(text)); }

  /** A moment on the book's own clock: 2026-04-18 09:10. @type {RunDocument["moment"]} */
  function moment(time, zone) {
    var parts = {};
    new Intl.DateTimeFormat("en-GB", {
      timeZone: zone, year: "numeric", month: "2-digit", day: "2-digit", hour: "2-digit", minute: "2-digit", hourCycle: "h23"
    }).formatToParts(new Date(time)).forEach(function (part) { parts[part.type] = part.value; });
    return parts.year + "-" + parts.month + "-" + parts.day + " " + parts.hour + ":" + parts.minute;
  }

  /** Named by its moment; `mark` keeps apart what two devices begin in one minute. @type {RunDocument["newId"]} */
  function newId(name, time, zone, taken, mark) {
    var at = moment(time, zone), base = "r-" + at.slice(0, 10) + "-" + name.slice(0, 34).replace(/-+$/, "") + "-" + at.slice(11).replace(":", "") + (mark || "");
    var id = base, count = 2;
    while (taken.indexOf(id) >= 0) { id = base + "-" + count; count += 1; }
    return id;
  }

  /* A log of a pot life is only as good as its seconds; what takes hours is told in minutes. */
  function timeSaid(milliseconds) {
    var seconds = Math.max(1, Math.round(milliseconds / 1000)), minutes = Math.floor(seconds / 60), rest = seconds % 60;
    if (seconds >= 3600) { return Math.round(seconds / 60) + " min"; }
    return [minutes ? minutes + " min" : "", rest ? rest + " s" : ""].filter(Boolean).join(" ");
  }

  function list(lines, key, entries) {
    if (!entries.length) { return; }
    lines.push(key + ":");
    entries.forEach(function (pairs) {
      pairs.filter(function (pair) { return pair[1] !== null && pair[1] !== undefined && pair[1] !== ""; }).forEach(function (pair, place) {
        lines.push((place ? "    " : "  - ") + pair[0] + ": " + pair[1]);
      });
    });
  }

  function group(lines, key, pairs) {
    var said = pairs.filter(function (pair) { return pair[1]; });
    if (!said.length) { return; }
    lines.push(key + ":");
    said.forEach(function (pair) { lines.push("  " + pair[0] + ": " + pair[1]); });
  }

  function clockOf(time, zone) { return moment(time, zone).slice(11); }
  function said(text) { return text ? quoted(text) : ""; }

  /** The run as a document. What was not noted is not in it; a run without an outcome is under way. @type {RunDocument["yaml"]} */
  function yaml(run, zone) {
    var lines = ["# Noted at the bench.", "format: 1", "id: " + run.id, "kind: " + run.kind, "recipe: " + run.recipe];
    if (run.thing) { lines.push("thing: " + run.thing); }
    lines.push("started: " + moment(run.started, zone));
    if (run.finished) { lines.push("finished: " + moment(run.finished, zone)); }
    if (run.mold) { lines.push("mold: " + run.mold); }
    if (run.look) { lines.push("look: " + run.look); }
    if (run.day) { lines.push("day: " + run.day); }
    group(lines, "conditions", [["room", run.room], ["humidity", run.humidity], ["mold_temp", run.moldTemp]]);
    list(lines, "batch", Object.keys(run.batches).map(function (mix) {
      var batch = run.batches[mix];
      return [["mix", mix], ["weighed", batch.weighed], ["pot_life", batch.setAfter ? timeSaid(batch.setAfter) : ""]];
    }));
    list(lines, "took", Object.keys(run.done).map(function (step) {
      return [["step", step], ["done", moment(run.done[step].at, zone)], ["waited", run.waited[step] ? timeSaid(run.waited[step]) : ""]];
    }));
    list(lines, "measured", run.measured.map(function (each) {
      return [["step", each.step], ["what", quoted(each.what)], ["value", each.value]];
    }));
    list(lines, "changed", run.notes.map(function (each) { return [["step", each.step], ["note", quoted(each.note)]]; }));
    if (run.outcome) { lines.push("outcome: " + run.outcome); }
    list(lines, "went_wrong", run.wrong.map(function (each) {
      return [["failure", each.failure], ["what", each.failure || !each.note ? "" : quoted(each.note)], ["step", each.step],
        ["harm", each.harm], ["note", each.failure && each.note ? quoted(each.note) : ""]];
    }));
    list(lines, "kept", run.kept.map(function (each) { return [["piece", quoted(each.piece)], ["grade", each.grade]]; }));
    list(lines, "lots", Object.keys(run.lots).filter(function (name) { return run.lots[name]; }).map(function (name) {
      return [["material", name], ["lot", quoted(run.lots[name])]];
    }));
    list(lines, "touch_ups", run.touchUps.map(function (each) {
      return [["at", clockOf(each.at, zone)], ["zone", said(each.zone)], ["note", said(each.note)]];
    }));
    list(lines, "moments", run.moments.map(function (each) {
      return [["at", clockOf(each.at, zone)], ["what", each.what], ["zone", said(each.zone)], ["note", said(each.note)]];
    }));
    if (run.morning) { lines.push("morning_after: " + run.morning); }
    return lines.join("\n") + "\n";
  }

  /** A new run of a recipe, nothing noted yet. @type {RunDocument["fresh"]} */
  function fresh(id, recipe, time) {
    return {
      id: id, recipe: recipe, kind: "run", thing: "", build: "", mold: "", started: time, finished: null, room: "", humidity: "", moldTemp: "",
      at: 0, heeded: {}, done: {}, waited: {}, batches: {}, clock: null, timers: [], notes: [], measured: [], wrong: [], lots: {}, outcome: "", kept: [],
      look: "", day: "", touchUps: [], moments: [], morning: "", handed: null
    };
  }

  /** CRC-32 (ISO 3309) of a text, by which the book's pages tell whether they hold exactly this. @type {RunDocument["digest"]} */
  function digest(text) {
    var sum = -1;
    new TextEncoder().encode(text).forEach(function (byte) {
      sum ^= byte;
      for (var bit = 0; bit < 8; bit += 1) { sum = sum & 1 ? (sum >>> 1) ^ 0xedb88320 : sum >>> 1; }
    });
    return (sum ^ -1) >>> 0;
  }

  window.mothermoldRun = { digest: digest, fresh: fresh, newId: newId, moment: moment, clean: clean, yaml: yaml };
})();
