/* A touch-up, a photo, a meal in two taps: what, then where. It goes into the run of the day as the bench keeps it, so that it outlives
   a reload and needs no signal, and is handed over like any run. The next morning asks for one word. */
(function () {
  "use strict";
  var HALF_A_DAY = 43200000, book = window.mothermoldBook, doc = window.mothermoldRun, deliver = window.mothermoldDeliver;
  var VIEWS = ["front", "left 3/4", "right 3/4", "left", "right", "back", "detail"];
  var FOOD = [["A meal", "meal", ""], ["Something to drink", "meal", "A drink."], ["A break", "break", ""]];

  function make(name, words, more) {
    var made = /** @type {Part} */ (document.createElement(name));
    if (words) { made.textContent = words; }
    Object.keys(more || {}).forEach(function (key) { made.setAttribute(key, String(more[key])); });
    return made;
  }
  function button(words, deed, more) { return make("button", words, Object.assign({ type: "button", "data-day": deed }, more || {})); }

  /** @param {Part} root */
  function start(root) {
    var data = /** @type {DayData} */ (JSON.parse(root.querySelector(".day-data").textContent)), keep = window.mothermoldKeep.open(book.book);
    var keys = root.querySelector(".day-keys"), list = root.querySelector(".day-list"), state = root.querySelector(".day-state"), open = "", said = "";

    function today() { return doc.moment(Date.now(), data.zone).slice(0, 10); }
    /* The day lasts until noon of the next: a wrap may come after midnight. */
    function isOn() { return today() >= data.day && doc.moment(Date.now() - HALF_A_DAY, data.zone).slice(0, 10) <= data.day; }
    function isAfter() { return today() > data.day; }

    /* The run of this day on this device: one begun here, or one the bench began today by the same sheet. */
    function found() {
      var mine = keep.runs().filter(function (run) {
        return run.recipe === data.recipe && (run.day === data.day ? run.look === data.look : !run.day && doc.moment(run.started, data.zone).slice(0, 10) === data.day);
      });
      return mine.length ? mine[mine.length - 1] : null;
    }
    function mark() {
      return Array.from(window.crypto.getRandomValues(new Uint8Array(3))).map(function (each) { return "abcdefghkmnprstuvwxyz".charAt(each % 21); }).join("");
    }
    function fresh() {
      var now = Date.now(), taken = Object.keys(book.runs).concat(keep.runs().map(function (run) { return run.id; }));
      var run = doc.fresh(doc.newId(data.name, now, data.zone, taken, mark()), data.recipe, now);
      /* Some browsers clear a store after days without a visit, unless they were asked to keep it. */
      if (navigator.storage && navigator.storage.persist) { navigator.storage.persist().catch(function () { /* kept as long as the browser likes */ }); }
      return run;
    }

    /* One entry; what the run was before can be had back. */
    function note(deed, change) {
      keep.refresh();
      var there = found(), run = JSON.parse(JSON.stringify(there || fresh()));
      run.look = data.look;
      run.day = data.day;
      run.build = data.build;
      run.touched = Date.now();
      change(run);
      keep.put(run, there ? deed : undefined);
      open = "";
      said = deed + ".";
      paint();
    }

    function choices(kind) {
      var row = make("div", "", { "class": "day-choice" });
      if (kind === "touch-up") {
        data.zones.forEach(function (zone) { row.append(button(zone, "touched", { "data-zone": zone })); });
        row.append(button("Somewhere else", "touched", { "data-zone": "" }));
      } else if (kind === "photo") {
        VIEWS.forEach(function (view) { row.append(button(view, "photographed", { "data-zone": view })); });
      } else {
        FOOD.forEach(function (each) { row.append(button(each[0], "ate", { "data-what": each[1], "data-note": each[2] })); });
      }
      return row;
    }

    function paintKeys() {
      keys.textContent = "";
      if (isOn()) {
        var row = make("div", "", { "class": "day-row" });
        [["touch-up", "Touch-up"], ["photo", "Photo"], ["meal", "Meal"]].forEach(function (each) {
          row.append(button(each[1], "open", { "data-kind": each[0], "aria-expanded": String(open === each[0]) }));
        });
        keys.append(row);
        if (open) { keys.append(make("p", { "touch-up": "Where?", photo: "From which side?", meal: "What was it?" }[open]), choices(open)); }
      } else if (!isAfter()) {
        keys.append(make("p", "On the day itself a touch-up, a photo and a meal are noted here, each in two taps, also without signal.", { "class": "quiet" }));
      }
      if (isAfter()) { paintMorning(); }
    }

    function paintMorning() {
      var run = found(), row = make("div", "", { "class": "day-row" });
      keys.append(make("p", "The morning after: may the wearer be glued again? Ask the wearer alone. One of two words; why stands nowhere."));
      ["available", "not available"].forEach(function (word) {
        row.append(button(word.charAt(0).toUpperCase() + word.slice(1), "morning", { "data-word": word, "aria-pressed": String(Boolean(run && run.morning === word)) }));
      });
      keys.append(row);
    }

    function lines(run) {
      var all = run.touchUps.map(function (each) { return { at: each.at, words: ["touch-up", each.zone, each.note] }; })
        .concat(run.moments.map(function (each) { return { at: each.at, words: [each.what, each.zone, each.note] }; }));
      all.sort(function (one, other) { return one.at - other.at; });
      return all.map(function (each) { return doc.moment(each.at, data.zone).slice(11) + " " + each.words.filter(Boolean).join(", "); });
    }

    function paintList() {
      var run = found();
      list.textContent = "";
      if (!run) { return; }
      var noted = make("ul"), row = make("div", "", { "class": "day-row" }), back = keep.last(run.id);
      lines(run).forEach(function (words) { noted.append(make("li", words)); });
      if (run.morning) { noted.append(make("li", "The morning after: " + run.morning)); }
      list.append(noted);
      if (lines(run).length && isOn()) { list.append(wordsForm()); }
      if (back) { row.append(button("Undo: " + back, "undo")); }
      deliver.ways(run, data.zone, root.dataset.home).forEach(function (way) { row.append(button(way.words, way.deed, way.main ? { "class": "main" } : {})); });
      if (isOn() && !run.finished) {
        ["good", "usable"].forEach(function (word) { row.append(button("Wrapped: it was " + word, "wrapped", { "data-word": word })); });
      }
      list.append(row, make("p", where(run), { "class": "quiet" }));
    }

    function wordsForm() {
      var form = make("form", "", { "class": "day-words" }), label = make("label", "A few words to the last one ");
      label.append(make("input", "", { name: "words", autocomplete: "off", maxlength: "200" }));
      form.append(label, make("button", "Keep them", { type: "submit" }));
      return form;
    }

    function where(run) {
      var known = Object.prototype.hasOwnProperty.call(book.runs, run.id) && book.runs[run.id] === doc.digest(doc.yaml(run, data.zone));
      if (known) { return "All of it is in the book."; }
      if (!run.handed) { return "On this device only, as the run " + run.id + ". Hand it over this evening."; }
      return (run.touched || 0) > run.handed ? "Changed since it was handed over: hand it over again." : "Handed over; in the book once the computer has taken it in.";
    }

    function paint() {
      state.textContent = [said, keep.fault()].filter(Boolean).join(" ");
      paintKeys();
      paintList();
    }

    function last(run) {
      var all = run.touchUps.concat(run.moments);
      return all.reduce(function (one, other) { return !one || other.at >= one.at ? other : one; }, null);
    }

    var deeds = {
      open: function (from) { open = open === from.dataset.kind ? "" : from.dataset.kind; said = ""; paint(); },
      touched: function (from) {
        note("touch-up" + (from.dataset.zone ? ", " + from.dataset.zone : ""), function (run) { run.touchUps.push({ at: Date.now(), zone: from.dataset.zone, note: "" }); });
      },
      photographed: function (from) {
        note("photo, " + from.dataset.zone, function (run) { run.moments.push({ at: Date.now(), what: "photo", zone: from.dataset.zone, note: "" }); });
      },
      ate: function (from) {
        note(from.textContent.toLowerCase(), function (run) { run.moments.push({ at: Date.now(), what: from.dataset.what, zone: "", note: from.dataset.note }); });
      },
      morning: function (from) { note(from.dataset.word, function (run) { run.morning = from.dataset.word; }); },
      wrapped: function (from) {
        note("wrapped, " + from.dataset.word, function (run) { run.outcome = from.dataset.word; run.finished = Date.now(); });
      },
      undo: function () {
        var run = found();
        if (run) { said = "Taken back: " + keep.undo(run.id) + "."; }
        paint();
      }
    };

    function leave(deed) {
      var run = found(), at = Date.now(), id = run ? run.id : "";
      if (!run) { return; }
      deliver.by(deed, run, data.zone, root.dataset.home).then(function (told) {
        keep.refresh();
        var now = keep.get(id);
        if (told.ok && now) { keep.put(Object.assign({}, now, { handed: at })); }
        said = told.words;
        paint();
      });
    }

    root.addEventListener("click", function (event) {
      var pressed = /** @type {Part} */ (event.target).closest("[data-day]"), deed = pressed && pressed.dataset.day;
      if (!deed) { return; }
      if (deeds[deed]) { deeds[deed](pressed); } else { leave(deed); }
    });
    root.addEventListener("submit", function (event) {
      event.preventDefault();
      var words = doc.clean(root.querySelector("[name='words']").value);
      if (words) { note("words", function (run) { var entry = last(run); entry.note = [entry.note, words].filter(Boolean).join(" "); }); }
    });
    window.addEventListener("storage", function (event) { if (event.key === keep.key) { keep.refresh(); paint(); } });
    root.hidden = !data.recipe;
    paint();
  }

  document.querySelectorAll(".day-notes").forEach(start);
})();
