/* Clocks of the bench: the pot life from the moment B meets A, named timers that keep their end, the screen held awake. */
(function () {
  "use strict";
  var parts = window.mothermoldBenchParts = window.mothermoldBenchParts || [];

  var CALLS = [10, 5, 1, 0.5], LONGEST = 44640, download = window.mothermoldDeliver.download;

  parts.push(function (bench) {
    var clock = window.mothermoldClock, make = bench.make, button = bench.button, run = bench.run, wanted = false, called = {};
    var sound = /** @type {AudioContext | null} */ (null), lock = /** @type {WakeLockSentinel | null} */ (null);

    /** @type {Bench["room"]} */
    function room() {
      var run = bench.run(), read = run && run.room ? bench.temperature(run.room) : {};
      return read.value === undefined ? null : read.value;
    }
    function times(mix) { return bench.data.times[mix] || { title: mix }; }

    /** The strip on every screen. It is drawn once a second from the ends that were stored, never counted down. @type {Bench["paintClocks"]} */
    function paintClocks() {
      var place = bench.said("clocks"), run = bench.run(), now = Date.now();
      if (!run) { place.textContent = ""; place.dataset.shape = ""; return; }
      var rows = run.timers.length + (run.clock && !run.clock.stopped ? 1 : 0);
      if (place.dataset.shape !== shape(run)) { draw(place, run); }
      if (!rows) { return; }
      if (run.clock && !run.clock.stopped) { paintPot(place, run, now); }
      run.timers.forEach(function (timer) {
        var row = place.querySelector("[data-timer='" + timer.id + "']"), left = timer.end - now;
        row.querySelector("b").textContent = clock.digits(left);
        row.classList.toggle("over", left <= 0);
        say(row.querySelector("small"), left <= 0 ? "time is up, at " + window.mothermoldRun.moment(timer.end, bench.data.zone).slice(11) : "");
        call(timer.id, timer.name, left);
        if (left <= 0 && left > -60000) { ring(); }
      });
    }
    /* Words that stand already are not written again: a reader of screens would say them each second. */
    function say(place, words) { if (place.textContent !== words) { place.textContent = words; } }

    /* Said aloud by a reader of screens, once each: so much is left. */
    function call(id, name, left) {
      var mark = left <= 0 ? 0 : CALLS.filter(function (each) { return left <= each * 60000; }).pop();
      if (mark === undefined || called[id] === mark) { return; }
      var first = called[id] === undefined && mark > 0;
      called[id] = mark;
      if (!first) { bench.said("call").textContent = name + ": " + (mark ? clock.words(mark) + " left" : "time is up") + "."; }
    }

    function shape(run) {
      return JSON.stringify([run.id, run.clock, run.timers]);
    }
    function draw(place, run) {
      place.textContent = "";
      place.dataset.shape = shape(run);
      if (run.clock && !run.clock.stopped) {
        var pot = make("div", null, { "class": "clock-row pot" });
        pot.append(face(times(run.clock.mix).title), button("Closed", "closed"), button("It sets", "sets"), make("small", ""));
        place.appendChild(pot);
      }
      /* What ends first stands first: all are in one line, and the last may lie beside it. */
      run.timers.slice().sort(function (a, b) { return a.end - b.end; }).forEach(function (timer) {
        var row = make("div", null, { "class": "clock-row", "data-timer": timer.id });
        row.append(face(timer.name), make("small", ""));
        place.appendChild(row);
      });
    }
    /* How much is left, and of what; a tap says more and stops it. */
    function face(name) {
      var made = button("", "clocks", { "class": "face" });
      made.append(make("b", ""), make("span", " " + name));
      return made;
    }
    function clocksPanel() {
      var run = bench.run();
      bench.openPanel("Clocks", function (place) {
        if (run.clock && !run.clock.stopped) {
          place.append(make("h3", times(run.clock.mix).title), make("p", bench.said("clocks").querySelector(".pot small").textContent), choice([button("Closed", "closed"), button("It sets", "sets")]));
        }
        run.timers.forEach(function (timer) {
          place.append(make("h3", timer.name), make("p", "Until " + window.mothermoldRun.moment(timer.end, bench.data.zone).slice(11) + "."), choice([
            button("Stop", "stop-timer", { "data-id": timer.id, "aria-label": "Stop " + timer.name }),
            button("Calendar", "calendar", { "data-id": timer.id, "aria-label": "Calendar entry for " + timer.name })]));
        });
      });
    }
    function choice(buttons) {
      var made = make("div", null, { "class": "choice" });
      made.append.apply(made, buttons);
      return made;
    }
    function paintPot(place, run, now) {
      var row = place.querySelector(".pot"), timed = times(run.clock.mix).pot_life, since = now - run.clock.start;
      var big = row.querySelector("b"), small = row.querySelector("small");
      row.classList.toggle("unknown", !timed);
      if (!timed) { big.textContent = clock.digits(since); say(small, "since B met A; no pot life is written down"); return; }
      var band = clock.today(timed, room()), left = band.short * 60000 - since;
      big.textContent = clock.digits(left);
      row.classList.toggle("over", left <= 0);
      say(small, left > 0 ? "to close: " + clock.words(band.short) + (band.reckoned ? " at " + room() + " °C" : ", " + band.note)
        : "past " + clock.words(band.short) + "; it may hold until " + clock.words(band.long) + " after B");
      call("pot", times(run.clock.mix).title, left);
      if (left <= 0 && left > -20000) { ring(); }
    }

    /** Where the end of the clock comes from. @type {Bench["potWords"]} */
    function potWords(mix) {
      var timed = times(mix).pot_life;
      return timed ? "Its end is " + clock.today(timed, room()).note + "." : "";
    }

    function ring() {
      if (document.hidden) { return; }
      if (navigator.vibrate) { navigator.vibrate([300, 200, 300]); }
      if (!sound || sound.state !== "running") { return; }
      var tone = sound.createOscillator(), gain = sound.createGain();
      tone.frequency.value = 880;
      gain.gain.value = 0.2;
      tone.connect(gain);
      gain.connect(sound.destination);
      tone.start();
      tone.stop(sound.currentTime + 0.25);
    }
    /* A browser lets a page sound only after a tap on it. */
    function mayRing() {
      var Sound = window.AudioContext || window.webkitAudioContext;
      if (!sound && Sound) { sound = new Sound(); }
      if (sound && sound.state === "suspended") { sound.resume(); }
    }

    function addTimer(name, minutes, step, waits) {
      mayRing();
      name = window.mothermoldRun.clean(name);
      var now = Date.now();
      bench.tap("timer “" + name + "”", function (run) {
        run.timers.push({ id: "t" + now + "-" + run.timers.length, name: name, started: now, end: now + Math.round(minutes * 60000), step: step, waits: Boolean(waits) });
      });
    }

    function timerPanel() {
      bench.openPanel("Timer", function (place) {
        var name = bench.labeled("input", "What for", "timer-name", { autocomplete: "off", maxlength: "40", placeholder: "degas" });
        var length = bench.labeled("input", "How long", "timer-length", { autocomplete: "off", placeholder: "10 min" }), quick = make("div", null, { "class": "choice" });
        var fault = make("p", "", { "class": "bench-fault", role: "alert" });
        fault.hidden = true;
        [1, 3, 5, 10, 15, 30, 60].forEach(function (minutes) {
          quick.appendChild(button(clock.words(minutes), "quick-timer", { "data-minutes": String(minutes) }));
        });
        place.append(name.label, quick, length.label, fault, button("Start it", "own-timer", { "class": "main" }),
          make("p", "A page can ring only while it is open and the screen is on. The end is kept, also when you close the page; for a locked phone take the calendar entry that stands beside a running timer.", { "class": "quiet" }));
      });
    }
    function startNamed(minutes) {
      var name = window.mothermoldRun.clean(document.querySelector("[name='timer-name']").value) || clock.words(minutes);
      addTimer(name, minutes, bench.here());
      bench.keptPanel();
    }
    function ownTimer() {
      var field = document.querySelector("[name='timer-length']"), fault = document.querySelector(".panel .bench-fault");
      var typed = field.value.trim(), read = bench.amount(/^\d+$/.test(typed) ? typed + " min" : typed, ["time"]);
      if (!read.fault && !(Number(read.value) > 0)) { read = { fault: "That is no time at all." }; }
      if (!read.fault && Number(read.value) > LONGEST) { read = { fault: "That is longer than a month.", advice: "Put it in the calendar." }; }
      fault.hidden = !read.fault;
      fault.textContent = read.fault ? [read.fault, read.advice].filter(Boolean).join(" ") : "";
      if (read.fault) { field.focus(); return; }
      startNamed(Number(read.value));
    }

    /** Waits the step asks for; of a mix the demold by the long end of today's band. @type {Bench["paintWaits"]} */
    function paintWaits(place, step) {
      place.textContent = "";
      step.timers.forEach(function (timer, index) {
        var minutes = timer.minutes, note = "", timed = timer.mix && times(timer.mix);
        var cure = timed && (timer.name === "Demold" ? timed.demold : timed.full_cure);
        if (cure) {
          var band = clock.today(cure, room());
          minutes = band.long;
          note = band.note + (band.cold ? ". Under 15 °C platinum silicone is known to stall: warm the room, the mold and the parts first" : "");
        }
        place.appendChild(button("Timer: " + timer.name + ", " + clock.words(minutes), "step-timer", { "data-index": String(index), "data-minutes": String(minutes) }));
        if (note) { place.appendChild(make("p", "The long end, " + note + ". The kept cup decides.", { "class": "quiet" })); }
      });
    }

    /* The screen: held awake where the browser may, and told how it stands. */
    function state(words, on) {
      bench.said("awake-state").textContent = words;
      bench.said("awake-short").textContent = on ? "screen on" : "screen sleeps";
      bench.root.querySelectorAll("[data-do='awake']").forEach(function (each) { each.setAttribute("aria-pressed", String(on)); });
    }
    /** @type {Bench["awake"]} */
    function awake(on) {
      wanted = on;
      if (!on) { if (lock) { lock.release(); } lock = null; state("The screen may go to sleep.", false); return; }
      if (!navigator.wakeLock || !window.isSecureContext) {
        state("This page cannot keep the screen on " + (window.isSecureContext ? "in this browser" : "over this connection") + ": set the phone's own screen time to long.", false);
        return;
      }
      navigator.wakeLock.request("screen").then(function (held) {
        if (!wanted) { held.release(); return; }
        lock = held;
        state("The screen stays on while this page is in front.", true);
        held.addEventListener("release", function () { if (lock === held) { lock = null; } if (wanted && !lock) { state("The screen may go to sleep: the device no longer holds it on. Any tap asks again.", false); } });
      }, function () { state("The device refuses to keep the screen on (battery low?). Any tap asks again.", false); });
    }
    bench.root.addEventListener("click", function (event) {
      if (wanted && !lock && navigator.wakeLock && !/** @type {Part} */ (event.target).closest("[data-do='awake']")) { awake(true); }
    });
    function seen() {
      if (!document.hidden) { bench.catchUp(); if (wanted && !lock) { awake(true); } }
    }
    document.addEventListener("visibilitychange", seen);
    var ticking = window.setInterval(paintClocks, 1000);
    bench.ends.push(function () {
      window.clearInterval(ticking);
      document.removeEventListener("visibilitychange", seen);
      wanted = false;
      if (lock) { lock.release(); lock = null; }
    });

    Object.assign(bench, { paintClocks: paintClocks, potWords: potWords, paintWaits: paintWaits, awake: awake, wanted: function () { return wanted; }, room: room });
    bench.deeds = Object.assign(bench.deeds || {}, {
      timer: timerPanel,
      clocks: clocksPanel,
      "quick-timer": function (from) { startNamed(Number(from.dataset.minutes)); },
      "own-timer": ownTimer,
      "step-timer": function (from) {
        var step = bench.steps[bench.run().at];
        addTimer(step.timers[Number(from.dataset.index)].name + ": " + step.title, Number(from.dataset.minutes), step.id, true);
      },
      "stop-timer": function (from) {
        var now = Date.now();
        bench.tap("timer stopped", function (run) {
          var timer = run.timers.find(function (each) { return each.id === from.dataset.id; });
          run.timers = run.timers.filter(function (each) { return each.id !== from.dataset.id; });
          if (timer && timer.waits) { run.waited[timer.step] = (run.waited[timer.step] || 0) + now - timer.started; }
        });
        bench.closePanel();
      },
      calendar: function (from) {
        var timer = bench.run().timers.filter(function (each) { return each.id === from.dataset.id; })[0];
        download("timer.ics", "text/calendar", clock.calendar(timer.name, timer.end, run().id + "-" + timer.id, Date.now()));
      },
      "start-clock": function (from) {
        mayRing();
        var mix = from.dataset.mix;
        bench.tap("clock started", function (run) {
          run.clock = { mix: mix, start: Date.now(), stopped: null };
          /* That it was mixed is known now; how much only once somebody says so. */
          run.batches[mix] = run.batches[mix] || {};
        });
      },
      closed: function () {
        bench.tap("closed", function (run) { if (run.clock) { run.clock.stopped = Date.now(); } });
        bench.closePanel();
      },
      sets: function () {
        bench.tap("it sets", function (run) {
          if (!run.clock) { return; }
          var now = Date.now(), batch = run.batches[run.clock.mix] = run.batches[run.clock.mix] || {};
          batch.setAfter = now - run.clock.start;
          run.clock.stopped = now;
        });
        bench.closePanel();
      },
      awake: function (from) { awake(!wanted); if (from.closest("dialog")) { bench.closePanel(); } }
    });
  });
})();
