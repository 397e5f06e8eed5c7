/* The bench view: one step a screen, what was done kept at each tap, and a step back for each. From a folder or served. */
(function () {
  "use strict";
  var HALF_A_DAY = 43200000;

  /** Starts the view on its element; it is started once. @type {(root: Part) => Bench} */
  function start(root) {
    var data = JSON.parse(root.querySelector(".bench-data").textContent), book = window.mothermoldBook;
    var keep = window.mothermoldKeep.open(book.book), doc = window.mothermoldRun;
    var screens = Array.from(root.querySelectorAll(".screen")), steps = data.steps, shown = "start", came = "start";
    /* With no run under way nothing that asks for one is on the screen. */
    var nobody = /** @type {any} */ (null), current = /** @type {Run} */ (nobody);
    /* What is missing here each part adds. */
    var bench = window.mothermoldBench = /** @type {Bench} */ ({ data: data, book: book, keep: keep, root: root, ends: /** @type {(() => void)[]} */ ([]) });

    /** @type {Bench["said"]} */
    function said(name) { return root.querySelector("[data-said='" + name + "']"); }
    /** @type {Bench["field"]} */
    function field(name) { return root.querySelector("[name='" + name + "']"); }

    /** One element with its words; what an author wrote is only ever text. @type {Bench["make"]} */
    function make(name, words, more) {
      var made = /** @type {Part} */ (document.createElement(name)), told = more || {};
      if (words !== undefined && words !== null) { made.textContent = words; }
      Object.keys(told).forEach(function (key) { made.setAttribute(key, String(told[key])); });
      return made;
    }
    /** @type {Bench["button"]} */
    function button(words, deed, more) { return make("button", words, Object.assign({ type: "button", "data-do": deed }, more || {})); }

    /** Changes the run through one tap: what it was is kept, so that the tap can be taken back. @type {Bench["tap"]} */
    function tap(deed, change) {
      keep.refresh();
      var next = JSON.parse(JSON.stringify(keep.get(current.id) || current));
      change(next);
      next.touched = Date.now();
      keep.put(next, deed);
      current = next;
      paint();
    }

    /** Whether the book's pages hold the very text this run would hand over now. @type {Bench["inBook"]} */
    function inBook(run) {
      return Object.prototype.hasOwnProperty.call(book.runs, run.id) && book.runs[run.id] === doc.digest(doc.yaml(run, data.zone));
    }

    /** @type {Bench["waiting"]} */
    function waiting() { return keep.runs().filter(function (run) { return !inBook(run); }); }

    function screenOf(at) { return at < 0 ? "start" : at >= steps.length ? "end" : "step"; }

    /** @type {Bench["show"]} */
    function show(name) {
      shown = name;
      screens.forEach(function (screen) {
        screen.hidden = name === "step" ? screen.dataset.step !== steps[current.at].id : screen.dataset.screen !== name;
      });
      document.body.classList.toggle("under-way", name !== "start");
      root.dataset.shown = name;
      var bar = root.querySelector(".bench-bar");
      bar.hidden = name === "start";
      /* Somebody hurt has a button on every screen, also where there is nothing to go on with. */
      bar.classList.toggle("nothing-else", !current || name === "runs");
      root.querySelector(".bench-top").hidden = false;
      paint();
      window.scrollTo(0, 0);
      var head = screens.filter(function (screen) { return !screen.hidden; })[0].querySelector("h2");
      head.focus({ preventScroll: true });
    }

    /** @type {Bench["paint"]} */
    function paint() {
      var count = waiting().length, at = current ? current.at : -1;
      said("where").hidden = !current || shown === "start" || shown === "runs";
      said("where").textContent = shown === "end" ? "The end" : String(at + 1);
      if (shown !== "end") { said("where").append(make("span", " of ", { "class": "of" }), make("span", String(steps.length), { "class": "total" })); }
      said("where").setAttribute("aria-label", (shown === "end" ? "The end" : "Step " + (at + 1) + " of " + steps.length) + ": all steps");
      said("count").textContent = count ? count + (count > 1 ? " runs" : " run") + " still here" : "All in the book";
      said("fault").textContent = keep.fault();
      said("fault").hidden = !keep.fault();
      if (!current) { bench.paintClocks(); return; }
      var back = keep.last(current.id);
      said("undo").textContent = "Undo";
      said("undo").disabled = !back;
      said("undo").setAttribute("aria-label", back ? "Undo: " + back : "Nothing to undo");
      var meets = at >= 0 && at < steps.length ? bench.meets(steps[at]) : "", next = said("next");
      next.dataset.do = meets ? "start-clock" : "next";
      next.dataset.mix = meets;
      next.classList.toggle("alarm", Boolean(meets));
      next.textContent = meets ? "B meets A: start the clock" : at >= steps.length ? (current.finished ? "Done" : "Finish") : current.done[steps[at].id] ? "Next" : "Done, next";
      if (shown === "step" && steps[at]) {
        var screen = screens.filter(function (each) { return each.dataset.step === steps[at].id; })[0];
        bench.paintCautions(screen);
        bench.paintStep(screen, steps[at]);
      }
      if (shown === "end") { bench.paintEnd(); }
      bench.paintClocks();
    }

    function go(at) {
      tap("moved to " + (at < 0 ? "the start" : at >= steps.length ? "the end" : steps[at].title), function (run) { run.at = at; });
      show(screenOf(at));
    }

    /* Three letters, none that is read for another. */
    function mark() {
      return Array.from(window.crypto.getRandomValues(new Uint8Array(3))).map(function (each) { return "abcdefghkmnprstuvwxyz".charAt(each % 21); }).join("");
    }

    function begin(form) {
      var fault = said("start-fault"), read = bench.conditions(form.elements);
      fault.hidden = !read.fault;
      fault.textContent = read.fault || "";
      if (read.fault) {
        if (read.field.closest("details")) { read.field.closest("details").open = true; }
        read.field.focus();
        return;
      }
      var now = Date.now(), taken = Object.keys(book.runs).concat(keep.runs().map(function (run) { return run.id; }));
      var thing = form.elements.thing ? form.elements.thing.value : data.things.length === 1 ? data.things[0].build + "/" + data.things[0].thing : "";
      var run = doc.fresh(doc.newId(data.name, now, data.zone, taken, mark()), data.recipe, now);
      run.build = thing.split("/")[0] || "";
      run.thing = thing.split("/")[1] || "";
      run.mold = form.elements.mold ? form.elements.mold.value : "";
      /* A mold of another build is believed before a thing that build does not make. */
      var cast = data.molds.filter(function (each) { return each.id === run.mold && each.build && run.build && each.build !== run.build; })[0];
      if (cast) { run.build = cast.build; run.thing = ""; }
      run.kind = form.elements.pull && form.elements.pull.checked && run.mold ? "pull" : "run";
      Object.assign(run, read.written);
      data.lots.forEach(function (each) { run.lots[each.material] = form.elements["lot:" + each.material].value; });
      keep.put(run);
      /* Some browsers clear a store after days without a visit, unless they were asked to keep it. */
      if (navigator.storage && navigator.storage.persist) { navigator.storage.persist().catch(function () { /* kept as long as the browser likes */ }); }
      current = run;
      bench.awake(true);
      show("step");
    }

    function goOn(id) {
      current = keep.get(id) || nobody;
      if (current) { bench.awake(true); show(screenOf(current.at)); }
    }

    function underWay() { return keep.runs().filter(function (run) { return run.recipe === data.recipe && !run.finished; }); }

    /* What is under way, on the first screen: of this recipe it can be gone on with. */
    function paintStart() {
      var place = said("going-on");
      place.textContent = "";
      underWay().forEach(function (run) {
        place.appendChild(button("Go on with the run of " + doc.moment(run.started, data.zone), "go-on", { "class": "main", "data-run": run.id }));
      });
      bench.paintLots();
      bench.paintRoom();
    }

    var deeds = {
      next: function () {
        var at = current.at, step = steps[at];
        if (at >= steps.length && current.finished) { current = nobody; paintStart(); show("start"); return; }
        if (at >= steps.length) { bench.finish(); return; }
        tap("“" + step.title + "” done", function (run) {
          if (!run.done[step.id]) { run.done[step.id] = { at: Date.now() }; }
          run.at = at + 1;
        });
        show(screenOf(current.at));
      },
      back: function () { if (current.at <= 0) { paintStart(); show("start"); } else { go(current.at - 1); } },
      undo: function () {
        if (keep.undo(current.id)) {
          current = keep.get(current.id) || current;
          show(screenOf(current.at));
        }
      },
      "go-on": function (from) { goOn(from.dataset.run); },
      runs: function () { came = shown === "runs" ? came : shown; bench.paintRuns(); show("runs"); },
      "leave-runs": function () { paintStart(); show(current ? came : "start"); }
    };

    var last = "";
    root.addEventListener("click", function (event) {
      var pressed = /** @type {Part} */ (event.target).closest("[data-do]"), deed = pressed && (deeds[pressed.dataset.do] || bench.deeds[pressed.dataset.do]);
      /* The second tap of a double one means what the first did, never what the button became by it. */
      if (!deed || (event.detail > 1 && pressed === said("next") && pressed.dataset.do !== last)) { return; }
      last = pressed.dataset.do;
      deed(pressed);
    });
    root.addEventListener("submit", function (event) {
      event.preventDefault();
      if (/** @type {Part} */ (event.target).dataset.form === "start") { begin(event.target); }
    });
    root.addEventListener("change", function (event) {
      if (/** @type {Part} */ (event.target).closest("[data-form='end']")) { bench.keepEnd(); }
    });
    function elsewhere(event) {
      if (event.key === keep.key) { catchUp(); }
    }
    window.addEventListener("storage", elsewhere);
    bench.ends.push(function () {
      window.removeEventListener("storage", elsewhere);
      document.body.classList.remove("at-bench", "under-way");
    });

    /** What another tab wrote meanwhile. @type {Bench["catchUp"]} */
    function catchUp() {
      var before = current;
      keep.refresh();
      current = current && (keep.get(current.id) || current);
      if (current && shown !== "start" && shown !== "runs" && (before.at !== current.at)) { show(screenOf(current.at)); } else { paint(); }
    }

    Object.assign(bench, {
      said: said, field: field, make: make, button: button, tap: tap, show: show, paint: paint, waiting: waiting, inBook: inBook, steps: steps,
      run: function () { return current; },
      forget: function () { current = nobody; },
      catchUp: catchUp,
      reload: function () { current = keep.get(current.id) || current; },
      start: function () { paintStart(); show("start"); },
      screen: function () { return shown; },
      at: function (place) { if (current) { go(place); } },
      /* Where other pages stand in the same document: lets go of all that is not of this view's own elements. */
      leave: function () { bench.ends.forEach(function (end) { end(); }); }
    });
    document.body.classList.add("at-bench");
    window.mothermoldBenchParts.forEach(function (part) { part(bench); });
    /* A page that was closed or shut down half way opens where it was left. */
    var left = underWay().sort(function (a, b) { return (b.touched || b.started) - (a.touched || a.started); })[0];
    paintStart();
    if (left && Date.now() - (left.touched || left.started) < HALF_A_DAY) { goOn(left.id); } else { show("start"); }
    return bench;
  }

  window.mothermoldBenchView = { start: start };
  var here = document.querySelector(".bench");
  if (here && window.mothermoldBook) { start(here); }
})();
