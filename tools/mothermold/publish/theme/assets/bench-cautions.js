/* What can hurt at a step: in full until this run notes that it was read, from then on a strip that opens with a tap.
   On paper, on a wall and without scripts all of it stands in full, whatever was noted. */
(function () {
  "use strict";
  var parts = window.mothermoldBenchParts = window.mothermoldBenchParts || [];

  parts.push(function (bench) {
    var make = bench.make, doc = window.mothermoldRun;

    function listed(screen) { return Array.from(screen.querySelectorAll(":scope > .cautions > li")); }

    /* What was read is these words: a caution that says something else since then stands in full again. */
    function words(entry) { return doc.digest(doc.clean(entry.textContent)); }
    function heeded(entry) { return bench.run().heeded[entry.dataset.caution] === words(entry); }

    /* One tap, and all that is not noted yet at this step is. */
    function unread(count) { return bench.button(count === 1 ? "I have read it" : count === 2 ? "I have read both" : "I have read all " + count, "heed", { "class": "main" }); }

    /* The signs and titles, one target as large as a glove needs; opened, the same words as before. */
    function strip(entries) {
      var made = make("details", null, { "class": "strip" }), summary = make("summary"), list = make("ul", null, { "class": "cautions", role: "list" });
      entries.forEach(function (entry) {
        var signs = entry.querySelector(".signs"), title = make("span", null, { "class": "titled" });
        if (signs) { title.appendChild(signs.cloneNode(true)); }
        title.appendChild(entry.querySelector("strong").cloneNode(true));
        summary.append(title, " ");
        list.appendChild(entry.cloneNode(true));
      });
      made.append(summary, list);
      return made;
    }

    /** @type {Bench["paintCautions"]} */
    function paintCautions(screen) {
      var all = listed(screen), known = all.filter(heeded), place = screen.querySelector("[data-said='heeded']"), ahead = screen.querySelector("[data-said='unread']");
      var shape = known.map(function (entry) { return entry.dataset.caution; }).join(" ");
      if (!place || place.dataset.shape === shape) { return; }
      place.dataset.shape = shape;
      place.textContent = "";
      ahead.textContent = "";
      /* What was not read stands before all else, and so does its button; what was read gives way to the work. */
      if (known.length) { place.appendChild(strip(known)); }
      if (known.length < all.length) { ahead.appendChild(unread(all.length - known.length)); }
      all.forEach(function (entry) { entry.classList.toggle("heeded", known.indexOf(entry) >= 0); });
      screen.querySelector(".cautions").classList.toggle("heeded", known.length === all.length);
    }

    bench.paintCautions = paintCautions;
    bench.deeds = Object.assign(bench.deeds || {}, {
      heed: function (from) {
        var screen = from.closest(".screen"), shown = listed(screen);
        bench.tap("cautions read", function (run) {
          shown.forEach(function (entry) { run.heeded[entry.dataset.caution] = words(entry); });
        });
        window.scrollTo(0, 0);
        screen.querySelector("h2").focus({ preventScroll: true });
      }
    });
  });
})();
