/* What can be called up at any step: rescue, timers, notes, batches. Each is one panel over the step. */
(function () {
  "use strict";
  var NEAR = ["At this step", "In this recipe", "At this stage", "Everything else"];
  var parts = window.mothermoldBenchParts = window.mothermoldBenchParts || [];

  function fold(text) { return text.toLowerCase().normalize("NFD").replace(/\p{Mn}/gu, ""); }

  parts.push(function (bench) {
    var panel = bench.root.querySelector(".panel"), body = panel.querySelector(".panel-body"), make = bench.make, button = bench.button;
    /* What was typed and not kept yet, by panel: a panel closed by a slip of the hand opens as it was left. */
    var typed = {}, shown = "";

    function open(title, fill) {
      shown = title;
      panel.querySelector("h2").textContent = title;
      body.textContent = "";
      fill(body);
      Object.keys(typed[shown] || {}).forEach(function (name) {
        var field = body.querySelector("[name='" + name + "']");
        if (field) { field.value = typed[shown][name]; }
      });
      if (!panel.open) { panel.showModal(); }
      body.scrollTop = 0;
      panel.querySelector("h2").focus();
    }
    function close() { if (panel.open) { panel.close(); } }
    function kept() { delete typed[shown]; close(); }
    ["input", "change"].forEach(function (kind) {
      body.addEventListener(kind, function (event) {
        /* Words to search by, and what a sheet asks, begin anew each time. */
        if (/^(?:note-text|what|value|wrong-note|harm|timer-name|timer-length)$/.test(/** @type {Part} */ (event.target).name)) {
          typed[shown] = typed[shown] || {};
          typed[shown][/** @type {Part} */ (event.target).name] = /** @type {Part} */ (event.target).value;
        }
      });
    });
    /** @type {Bench["here"]} */
    function here() { var run = bench.run(); return bench.steps[Math.min(run.at, bench.steps.length - 1)].id; }

    /** A labeled field; `kind` is input, textarea or select. @type {Bench["labeled"]} */
    function labeled(kind, words, name, more) {
      var label = make("label", words + " "), field = make(kind, null, Object.assign({ name: name }, more || {}));
      label.appendChild(field);
      return { label: label, field: field };
    }
    function listed(words, tag, items) {
      var made = make(tag);
      items.forEach(function (item) { made.appendChild(make("li", item)); });
      return [make("h3", words), made];
    }

    /* How near a failure is: 0 at this step, 1 in this recipe, 2 at its stage, 3 elsewhere. */
    function distance(each) {
      var address = bench.data.recipe.split("@")[0], run = bench.run(), step = run.at < bench.steps.length ? bench.steps[run.at] : null;
      if (step && (step.watch.indexOf(each.id) >= 0 || each.places.indexOf(address + "#" + step.id) >= 0)) { return 0; }
      if (bench.steps.some(function (other) { return other.watch.indexOf(each.id) >= 0; }) ||
        each.places.some(function (place) { return place.split("#")[0] === address; })) { return 1; }
      return each.stage === address.split("/")[0] ? 2 : 3;
    }

    /* Whether a failure says all of some words: as typed, also half of a word, or in another form. */
    function says(each, words) {
      var text = each.title + " " + each.said.join(" "), plain = fold(text);
      /** @type {string[]} */
      var stems;
      var reading = window.mothermoldHurt && window.mothermoldStems ? window.mothermoldStems(window.mothermoldHurt) : null;
      return words.every(function (word) {
        if (plain.indexOf(word) >= 0) { return true; }
        stems = stems || (reading ? reading.read(text).map(reading.stem) : []);
        return reading !== null && stems.indexOf(reading.stem(word)) >= 0;
      });
    }

    /* Something went wrong: first aid where the words call it, then what is nearest, the rest folded until words are typed. */
    function wrong() {
      open("What went wrong?", function (place) {
        var search = labeled("input", "Words", "words", { autocomplete: "off", autocapitalize: "off", inputmode: "search" }), found = make("div");
        function fill() {
          var words = fold(search.field.value).split(/\s+/).filter(Boolean), groups = NEAR.map(function () { return /** @type {Failure[]} */ ([]); });
          found.textContent = "";
          (words.length && window.mothermoldHurt ? window.mothermoldHurt.called(search.field.value) : []).forEach(function (row) {
            found.appendChild(button("Somebody is hurt: " + row.title, "first-aid", { "class": "pick hurt-pick", "data-hurt": row.id }));
          });
          bench.book.failures.forEach(function (each) { if (says(each, words)) { groups[distance(each)].push(each); } });
          groups.forEach(function (group, near) {
            if (!group.length) { return; }
            var into = found;
            if (near === 3 && !words.length) {
              into = make("details", null, { "class": "elsewhere" });
              into.appendChild(make("summary", NEAR[near] + " (" + group.length + ")"));
              found.appendChild(into);
            } else { found.appendChild(make("h3", NEAR[near])); }
            group.forEach(function (each) { into.appendChild(button(each.title, "rescue", { "class": "pick", "data-failure": each.id })); });
          });
          found.appendChild(button("Something else: say it in your own words", "own-words", { "class": "pick" }));
        }
        search.field.addEventListener("input", fill);
        place.append(search.label, found);
        fill();
      });
    }

    function noteWrong(title, failure, ask) {
      return function (place) {
        var note = labeled("textarea", ask, "wrong-note", { rows: 2 }), harm = labeled("select", "What it cost this time", "harm");
        [["", "not said"], ["cosmetic", "cosmetic"], ["rework", "rework"], ["piece lost", "the piece"], ["mold lost", "the mold"], ["somebody hurt", "somebody was hurt"]]
          .forEach(function (each) { harm.field.appendChild(make("option", each[1], { value: each[0] })); });
        place.append(note.label, harm.label, button("Note it in the run", "keep-wrong", { "class": "main", "data-failure": failure }));
      };
    }

    function rescue(from) {
      var failure = bench.book.failures.filter(function (each) { return each.id === from.dataset.failure; })[0];
      open(failure.title, function (place) {
        var now = make("div", null, { "class": "rescue" });
        now.append.apply(now, failure.now.length ? listed("Now", "ol", failure.now) : [make("p", "Nobody has written yet what to do now.")]);
        place.appendChild(now);
        if (failure.not.length) {
          var not = make("div", null, { "class": "do-not" });
          not.append.apply(not, listed("Do not", "ul", failure.not));
          place.appendChild(not);
        }
        noteWrong(failure.title, failure.id, "A few words, if you like")(place);
        /* A view in a file of its own has no home, and no other page to lead to. */
        if (bench.root.dataset.home !== undefined) { place.appendChild(make("a", "The whole note", { href: bench.root.dataset.home + failure.page })); }
      });
    }

    function keepWrong(from) {
      var note = body.querySelector("[name='wrong-note']").value.trim(), harm = body.querySelector("[name='harm']").value;
      var failure = from.dataset.failure || "";
      if (!failure && !window.mothermoldRun.clean(note)) { body.querySelector("[name='wrong-note']").focus(); return; }
      var step = here();
      note = window.mothermoldRun.clean(note);
      bench.tap("noted what went wrong", function (run) { run.wrong.push({ failure: failure, note: note, harm: harm, step: step }); });
      kept();
    }

    /* Any text and any measure at this step. */
    function note() {
      open("Note", function (place) {
        var text = labeled("textarea", "What was done differently, or seen", "note-text", { rows: 3 });
        var what = labeled("input", "What was measured", "what", { autocomplete: "off", placeholder: "film, dry" });
        var value = labeled("input", "How much, with its unit", "value", { autocomplete: "off", placeholder: "0.4 mm" });
        var fault = make("p", "", { "class": "bench-fault", role: "alert" });
        fault.hidden = true;
        place.append(text.label, what.label, value.label, fault, button("Keep it", "keep-note", { "class": "main" }));
      });
    }

    function keepNote() {
      var clean = window.mothermoldRun.clean, text = clean(body.querySelector("[name='note-text']").value), what = clean(body.querySelector("[name='what']").value);
      var typed = body.querySelector("[name='value']").value.trim(), fault = body.querySelector(".bench-fault"), step = here(), read = /** @type {Read | null} */ (null);
      if (typed || what) {
        read = what && typed ? bench.amount(typed, ["mass", "volume", "length", "area", "time", "temperature", "share", "density"])
          : { fault: what ? "How much it was is missing." : "What was measured is missing." };
        fault.hidden = !read.fault;
        fault.textContent = read.fault ? [read.fault, read.advice].filter(Boolean).join(" ") : "";
        if (read.fault) { return; }
      }
      if (!text && !read) { close(); return; }
      bench.tap("note", function (run) {
        if (text) { run.notes.push({ step: step, note: text }); }
        if (read) { run.measured.push({ step: step, what: what, value: String(read.written) }); }
      });
      kept();
    }

    /* All steps with what is done, one tap away; and how the screen is kept. */
    function steps() {
      open("Steps", function (place) {
        var run = bench.run();
        bench.steps.forEach(function (step, index) {
          var more = { "class": "pick", "data-index": String(index) };
          if (index === run.at) { more["aria-current"] = "step"; }
          place.appendChild(button((run.done[step.id] ? "✓ " : "") + (index + 1) + ". " + step.title + (run.done[step.id] ? ", done" : ""), "jump", more));
        });
        place.append(button("The end", "jump", { "class": "pick", "data-index": String(bench.steps.length) }), button("Another run: before you begin", "restart", { "class": "pick" }));
        place.appendChild(button(bench.said("count").textContent, "all-runs", { "class": "pick" }));
        place.append(button("Keep the screen on", "awake", { "aria-pressed": String(bench.wanted()) }), make("p", bench.said("awake-state").textContent, { "class": "quiet" }));
      });
    }

    function batch() {
      open("Batches", function (place) {
        bench.data.mixes.forEach(function (mix) {
          var sheet = bench.sheet(mix);
          place.append(sheet.weights, sheet.deeds);
        });
        if (!bench.data.mixes.length) { place.appendChild(make("p", "This recipe has no mix.")); }
      });
    }

    bench.labeled = labeled;
    bench.openPanel = open;
    bench.closePanel = close;
    bench.keptPanel = kept;
    bench.here = here;
    bench.deeds = Object.assign(bench.deeds || {}, {
      "first-aid": function (from) { window.mothermoldHurt.open(from.dataset.hurt); },
      wrong: wrong, rescue: rescue, note: note, batch: batch, steps: steps, close: close,
      jump: function (from) { close(); bench.at(Number(from.dataset.index)); },
      "all-runs": function () { close(); bench.said("count").click(); },
      restart: function () { close(); bench.start(); },
      "keep-note": keepNote, "keep-wrong": keepWrong,
      "own-words": function () { open("What went wrong?", noteWrong("", "", "What happened, in your own words")); }
    });
  });
})();
