/* Where runs wait until they are in the book: this device's own store, by the book's title, with a step back for each tap.
   What lies there and cannot be read is put aside, never written over. */
(function () {
  "use strict";
  var STEPS_BACK = 30, doc = window.mothermoldRun;

  function number(value) { return typeof value === "number" && isFinite(value); }

  /* One run as this page understands it, or null; what an older page did not note yet is filled in. */
  function shaped(run) {
    if (!run || !/^[a-z0-9][a-z0-9-]{0,59}$/.test(run.id) || typeof run.recipe !== "string" || !number(run.started)) { return null; }
    var full = doc.fresh(run.id, run.recipe, run.started);
    Object.keys(run).forEach(function (key) {
      var asked = full[key], given = run[key];
      if (asked === null || asked === undefined || (given !== null && typeof asked === typeof given && Array.isArray(asked) === Array.isArray(given))) { full[key] = given; }
    });
    full.at = Math.max(0, Math.floor(full.at));
    full.clock = full.clock && typeof full.clock.mix === "string" && number(full.clock.start) ? full.clock : null;
    full.timers = full.timers.filter(function (each) { return each && typeof each.id === "string" && typeof each.name === "string" && number(each.end); });
    /* What cannot be handed over is not understood. */
    try { doc.yaml(full, "UTC"); } catch (refused) { return null; }
    return full;
  }

  function open(book) {
    var key = "mothermold bench " + book, apart = key + ", put aside", refused = false, full = false, blocked = false, told = false, runs = read() || [];

    function store(where, text) { window.localStorage.setItem(where, text); }

    /* All runs as they lie there; null where this browser keeps nothing. */
    function read() {
      var text, found, good = [], bad = [];
      if (blocked) { return null; }
      try { text = window.localStorage.getItem(key); } catch (no) { refused = true; return null; }
      if (text === null) { return good; }
      try { found = JSON.parse(text); } catch (no) { /* told below */ }
      if (Array.isArray(found)) {
        found.forEach(function (entry) {
          var run = shaped(entry && entry.run);
          if (run) { good.push({ run: run, before: Array.isArray(entry.before) ? entry.before : [] }); } else { bad.push(entry); }
        });
        text = JSON.stringify(bad);
      }
      if (!Array.isArray(found) || bad.length) { putAside(text, good); }
      return good;
    }

    function putAside(text, good) {
      told = true;
      try {
        store(apart, [window.localStorage.getItem(apart), text].filter(Boolean).join("\n"));
        store(key, JSON.stringify(good));
      } catch (no) { blocked = true; }
    }

    function write() {
      if (refused || blocked) { return; }
      /* Steps back are the first to go where room is short. */
      full = ![STEPS_BACK, 3, 0].some(function (most) {
        try {
          store(key, JSON.stringify(runs.map(function (each) { return { run: each.run, before: most ? each.before.slice(-most) : [] }; })));
          return true;
        } catch (no) { return false; }
      });
    }

    function place(id) {
      return runs.findIndex(function (each) { return each.run.id === id; });
    }

    /** Another tab may have written meanwhile: what it knows is taken up, what had no room there is kept here. @type {Keep["refresh"]} */
    function refresh() {
      var there = read();
      if (!there) { return; }
      if (full) { there = runs.concat(there.filter(function (each) { return place(each.run.id) < 0; })); }
      runs = there;
    }

    /** @type {Keep["fault"]} */
    function fault() {
      if (refused) { return "This browser keeps nothing here. Hand the run over before you close the page."; }
      if (blocked) { return "What is kept here cannot be read, and there is no room to put it aside. Hand the run over before you close the page."; }
      if (full) { return "This device has no room left to keep the run. Hand it over now."; }
      return told ? "Something kept here could not be read. It is put aside, not lost: see the runs still on this device." : "";
    }

    return {
      fault: fault,
      runs: function () { return runs.map(function (each) { return each.run; }); },
      get: function (id) { var found = runs[place(id)]; return found ? found.run : null; },
      /* Puts a run down as it is now; what it was before can be had back by `undo`. */
      put: function (run, deed) {
        refresh();
        var at = place(run.id);
        if (at < 0) { runs.push({ run: run, before: [] }); } else {
          if (deed) { runs[at].before = runs[at].before.concat([{ deed: deed, run: runs[at].run }]).slice(-STEPS_BACK); }
          runs[at].run = run;
        }
        write();
      },
      last: function (id) {
        var found = runs[place(id)], before = found ? found.before : [];
        return before.length ? String(before[before.length - 1].deed) : "";
      },
      /* One tap taken back. What was handed over stays so, and is then out of date. */
      undo: function (id) {
        refresh();
        var found = runs[place(id)], step = found && found.before.pop(), run = step && shaped(step.run);
        if (!run) { return ""; }
        if (found.run.handed) { Object.assign(run, { handed: found.run.handed, touched: Date.now() }); }
        found.run = run;
        write();
        return String(step.deed);
      },
      drop: function (id) {
        refresh();
        var at = place(id), gone = at >= 0 ? runs.splice(at, 1)[0] : null;
        write();
        return gone;
      },
      restore: function (entry) {
        refresh();
        if (place(entry.run.id) < 0) { runs.push(entry); }
        write();
      },
      /* What could not be read, as it lay there. */
      aside: function () { try { return window.localStorage.getItem(apart) || ""; } catch (no) { return ""; } },
      refresh: refresh,
      key: key
    };
  }

  window.mothermoldKeep = { open: open };
})();
