/* The end of a run and what waits on this device: finishing and handing over. */
(function () {
  "use strict";
  var parts = window.mothermoldBenchParts = window.mothermoldBenchParts || [];

  var WEIGHED = "piece with flashing";

  parts.push(function (bench) {
    var make = bench.make, button = bench.button, doc = window.mothermoldRun, deliver = window.mothermoldDeliver, data = bench.data, sure = "", gone = /** @type {Entry | null} */ (null);

    function handOver(run) {
      var row = make("div", null, { "class": "choice" });
      deliver.ways(run, data.zone, bench.root.dataset.home).forEach(function (way) {
        row.appendChild(button(way.words, way.deed, way.main ? { "class": "main", "data-run": run.id } : { "data-run": run.id }));
      });
      return row;
    }

    /* The text is as it was at that moment; what is noted while it is on its way is not in it. */
    function leave(from) {
      var run = runOf(from), at = Date.now(), id = run ? run.id : "";
      if (!run) { return; }
      deliver.by(from.dataset.do, run, data.zone, bench.root.dataset.home).then(function (told) {
        if (told.ok) { handed(id, told.words, at); } else { repaint(told.words); }
      });
    }

    function state(run) {
      if (bench.inBook(run)) { return run.finished ? "In the book." : "In the book, as far as it goes."; }
      if (!run.handed) { return "On this device only."; }
      return stale(run) ? "Changed since it was handed over: hand it over again." : "Handed over " + doc.moment(run.handed, data.zone) + "; in the book once the computer has taken it in.";
    }
    function stale(run) { return !run.handed || (run.touched || 0) > run.handed; }

    /* `at` is when the text was made: what was noted while it was on its way is not in it. */
    function handed(id, words, at) {
      bench.keep.refresh();
      var run = bench.keep.get(id);
      if (!run) { repaint(words); return; }
      bench.keep.put(Object.assign({}, run, { handed: at }));
      if (bench.run() && bench.run().id === id) { bench.reload(); }
      repaint(words);
    }
    /* The run a button belongs to; it may be gone, taken off this device in another tab. */
    function runOf(from) {
      bench.keep.refresh();
      var run = bench.keep.get(from.dataset.run);
      if (!run) { repaint("This run is no longer on this device."); }
      return run;
    }
    function repaint(words) {
      if (bench.screen() === "runs") { paintRuns(); bench.paint(); } else { bench.paint(); }
      if (words) { bench.said(bench.screen() === "runs" ? "runs" : "hand-state").prepend(make("p", words, { role: "status" })); }
    }

    /** @type {Bench["paintEnd"]} */
    function paintEnd() {
      var run = bench.run(), place = bench.said("hand");
      bench.root.querySelectorAll("[data-do='outcome']").forEach(function (each) {
        each.setAttribute("aria-pressed", String(each.dataset.value === run.outcome));
      });
      bench.said("hand-state").textContent = run.finished ? state(run) : "The run is under way until you tap Finish. " + state(run);
      /* A tap that leaves a field notes what was typed there first; the button under the finger must still be there. */
      if (place.dataset.run !== run.id) {
        place.dataset.run = run.id;
        place.textContent = "";
        place.appendChild(handOver(run));
      }
      refill(run);
    }

    /* The fields of the end as the run has them; what somebody is typing just now is left alone. */
    function refill(run) {
      var weighed = run.measured.find(function (each) { return each.what === WEIGHED; }), piece = run.kept[0];
      [["flashing", weighed ? weighed.value : ""], ["piece", piece ? piece.piece : ""], ["grade", piece && piece.grade ? piece.grade : ""]].forEach(function (pair) {
        var field = bench.field(pair[0]);
        if (field && field !== document.activeElement && (pair[1] || !bench.said("end-fault").textContent)) { field.value = pair[1] || (pair[0] === "grade" ? field.value : ""); }
      });
    }

    /* What the fields of the end say, or what is wrong with it. */
    function ending() {
      var flashing = bench.field("flashing"), piece = bench.field("piece"), typed = flashing ? flashing.value.trim() : "";
      var weighed = typed ? bench.amount(typed, ["mass"], "g") : null;
      if (weighed && weighed.fault) { return { fault: [weighed.fault, weighed.advice].filter(Boolean).join(" ") }; }
      return { weighed: weighed ? weighed.written : "", piece: piece ? doc.clean(piece.value) : "", grade: bench.field("grade") ? bench.field("grade").value : "" };
    }
    function told(words) {
      bench.said("end-fault").hidden = !words;
      bench.said("end-fault").textContent = words;
    }
    function put(next, read) {
      if (!bench.field("flashing")) { return; }
      next.measured = next.measured.filter(function (each) { return each.what !== WEIGHED; });
      if (read.weighed) { next.measured.push({ what: WEIGHED, value: read.weighed }); }
      next.kept = read.piece ? [{ piece: read.piece, grade: read.grade }] : [];
    }
    /** Typed is noted, before Finish and after it. @type {Bench["keepEnd"]} */
    function keepEnd() {
      var read = ending();
      told(read.fault || "");
      if (!read.fault) { bench.tap("what was noted at the end", function (next) { put(next, read); }); }
    }

    /** @type {Bench["finish"]} */
    function finish() {
      var read = ending(), wrong = !bench.run().outcome ? "Say how it ended: good, usable or scrapped." : read.fault || "";
      told(wrong);
      if (wrong) { return; }
      bench.tap("finished", function (next) {
        next.finished = next.finished || Date.now();
        put(next, read);
      });
      bench.said("hand-title").scrollIntoView({ block: "center" });
      bench.said("hand-title").focus({ preventScroll: true });
    }

    /** @type {Bench["paintRuns"]} */
    function paintRuns() {
      var place = bench.said("runs"), runs = bench.waiting();
      place.textContent = "";
      if (gone) {
        var back = make("p", "Removed: " + gone.run.recipe + ", " + doc.moment(gone.run.started, data.zone) + ". ", { role: "status" });
        back.appendChild(button("Put it back", "put-back"));
        place.appendChild(back);
      }
      if (bench.keep.aside()) {
        var odd = make("div", null, { "class": "waiting" });
        odd.append(make("h3", "Put aside"), make("p", "This could not be read as a run. Save it and have it looked at.", { "class": "quiet" }), button("Save what was put aside", "save-aside"));
        place.appendChild(odd);
      }
      if (!runs.length) { place.appendChild(make("p", "Nothing is waiting on this device.")); }
      runs.forEach(function (run) {
        var card = make("div", null, { "class": "waiting" });
        card.append(make("h3", run.recipe + ", " + doc.moment(run.started, data.zone)),
          make("p", (run.finished ? "Ended " + (run.outcome || "") : "Under way") + ". " + state(run), { "class": "quiet" }), handOver(run));
        if (run.recipe === data.recipe) { card.appendChild(button("Open it", "go-on", { "data-run": run.id })); }
        card.appendChild(button(sure === run.id ? "Tap again to remove it" : "Remove from this device", "remove", { "data-run": run.id }));
        place.appendChild(card);
      });
    }

    Object.assign(bench, { paintEnd: paintEnd, finish: finish, paintRuns: paintRuns, keepEnd: keepEnd });
    bench.deeds = Object.assign(bench.deeds || {}, {
      outcome: function (from) { bench.tap("ended " + from.dataset.value, function (run) { run.outcome = from.dataset.value; }); },
      "save-file": leave, share: leave, send: leave,
      "put-back": function () {
        if (gone) { bench.keep.restore(gone); }
        gone = null;
        paintRuns();
        bench.paint();
      },
      "save-aside": function () { deliver.download("put-aside.txt", "text/plain", bench.keep.aside()); },
      remove: function (from) {
        if (sure !== from.dataset.run) { sure = from.dataset.run; paintRuns(); return; }
        sure = "";
        gone = bench.keep.drop(from.dataset.run);
        if (bench.run() && bench.run().id === from.dataset.run) { bench.forget(); }
        paintRuns();
        bench.paint();
      }
    });
  });
})();
