/* Steps for a class, on a wall: one at a time as large as it goes, by the keys of a clicker, a pointer, or the arrows that show. */
(function () {
  "use strict";
  var parts = window.mothermoldBenchParts = window.mothermoldBenchParts || [];
  /* How large letters are at most, where a drawing has its two thirds and where they have all; and at least. */
  var LARGEST = [1.25, 1.75], SMALLEST = 0.62;
  var KEYS = { ArrowRight: 1, ArrowDown: 1, PageDown: 1, " ": 1, Enter: 1, ArrowLeft: -1, ArrowUp: -1, PageUp: -1, Backspace: -1 };

  parts.push(function (bench) {
    var screens = /** @type {Part[]} */ (Array.from(bench.root.querySelectorAll("[data-screen='step']"))), at = 0;
    var bar = bench.root.querySelector(".wall-bar"), foot = bench.said("projector"), leaving = /** @type {(() => void) | null} */ (null);

    /* Letters as large as the step leaves room for: first the work and when it is right, then all that surrounds it. */
    function fit() {
      var screen = screens[at], size = 1;
      screen.classList.remove("crowded");
      function set(to) { size = to; bench.root.style.setProperty("--wall", String(to)); }
      function spills() { return screen.scrollHeight > screen.clientHeight + 1 || screen.scrollWidth > screen.clientWidth + 1; }
      var largest = LARGEST[screen.querySelector("figure") ? 0 : 1];
      set(largest);
      while (spills() && size > SMALLEST) { set(size - 0.04); }
      if (!spills()) { return; }
      screen.classList.add("crowded");
      set(largest);
      while (spills() && size > SMALLEST) { set(size - 0.04); }
    }

    function show() {
      bench.root.querySelectorAll(".screen").forEach(function (screen) { screen.hidden = screen !== screens[at]; });
      foot.textContent = (at + 1) + " / " + screens.length;
      bar.querySelectorAll("[data-by]").forEach(function (each) { each.disabled = each.dataset.by === "-1" ? at === 0 : at === screens.length - 1; });
      window.scrollTo(0, 0);
      fit();
    }
    function move(by) { at = Math.max(0, Math.min(screens.length - 1, at + by)); show(); }

    function projector() {
      var whole = document.documentElement;
      function quit() {
        document.body.classList.remove("projector");
        bar.hidden = true;
        bench.root.style.removeProperty("--wall");
        document.removeEventListener("keydown", key);
        document.removeEventListener("click", click);
        document.removeEventListener("fullscreenchange", changed);
        window.removeEventListener("resize", fit);
        bench.ends = bench.ends.filter(function (each) { return each !== quit; });
        leaving = null;
        if (document.fullscreenElement) { document.exitFullscreen().catch(function () { /* it is gone already */ }); }
      }
      function leave() { quit(); bench.start(); }
      function key(event) {
        var by = KEYS[event.key];
        /* A button that has the focus is pressed by its own keys. */
        if ((event.key === " " || event.key === "Enter") && /** @type {Part} */ (event.target).closest(".wall-bar")) { return; }
        if (event.key === "Escape") { leave(); } else if (event.key === "Home") { move(-screens.length); } else if (event.key === "End") { move(screens.length); }
        else if (by) { move(by); } else { return; }
        event.preventDefault();
      }
      function click(event) { if (!/** @type {Part} */ (event.target).closest("a, .wall-bar")) { move(event.clientX < window.innerWidth / 3 ? -1 : 1); } }
      /* Escape leaves the full screen without a word to the page. */
      function changed() { if (!document.fullscreenElement) { leave(); } else { fit(); } }
      document.body.classList.add("projector");
      bar.hidden = false;
      at = 0;
      leaving = leave;
      document.addEventListener("keydown", key);
      document.addEventListener("fullscreenchange", changed);
      window.addEventListener("resize", fit);
      /* The tap that opened it must not already turn the page. */
      window.setTimeout(function () { document.addEventListener("click", click); }, 0);
      bench.ends.push(quit);
      show();
      if (document.fonts && document.fonts.ready) { document.fonts.ready.then(function () { if (leaving === leave) { fit(); } }); }
      /** @type {NodeListOf<HTMLImageElement>} */ (/** @type {unknown} */ (bench.root.querySelectorAll(".pictures img"))).forEach(function (each) { each.loading = "eager"; if (!each.complete) { each.addEventListener("load", fit, { once: true }); } });
      if (whole.requestFullscreen) { whole.requestFullscreen().catch(function () { /* as large as its window is */ }); }
    }

    bench.deeds = Object.assign(bench.deeds || {}, {
      projector: projector,
      wall: function (from) { move(Number(from.dataset.by)); },
      "leave-wall": function () { if (leaving) { leaving(); } }
    });
  });
})();
