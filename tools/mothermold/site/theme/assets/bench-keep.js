/* Where runs wait until they are in the book: this device's own store, by the book's title, with a step back for each tap. */
(function () {
  "use strict";
  var STEPS_BACK = 30;

  function open(book) {
    var key = "mothermold bench " + book, fault = "", runs = read();

    function read() {
      try { return JSON.parse(window.localStorage.getItem(key) || "[]"); } catch (refused) {
        fault = "This browser keeps nothing here. Hand the run over before you close the page.";
        return [];
      }
    }

    function write() {
      try {
        window.localStorage.setItem(key, JSON.stringify(runs));
        fault = "";
      } catch (refused) {
        fault = "This device has no room left to keep the run. Hand it over now.";
      }
    }

    function place(id) {
      return runs.findIndex(function (each) { return each.run.id === id; });
    }

    /* Another tab may have written meanwhile: what it knows of other runs is kept. */
    function refresh() {
      var there = read();
      if (!fault) { runs = there; }
    }

    return {
      fault: function () { return fault; },
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
        return before.length ? before[before.length - 1].deed : "";
      },
      undo: function (id) {
        refresh();
        var found = runs[place(id)];
        if (!found || !found.before.length) { return ""; }
        var step = found.before.pop();
        found.run = step.run;
        write();
        return step.deed;
      },
      drop: function (id) {
        refresh();
        var at = place(id), gone = at >= 0 ? runs.splice(at, 1)[0] : null;
        write();
        return gone;
      },
      restore: function (entry) { refresh(); runs.push(entry); write(); },
      refresh: refresh,
      key: key
    };
  }

  window.mothermoldKeep = { open: open };
})();
