/* What is weighed, and handing a run over: the sheet for today's mold, the end of the run, the runs that wait here. */
(function () {
  "use strict";
  var parts = window.mothermoldBenchParts = window.mothermoldBenchParts || [];

  parts.push(function (bench) {
    var make = bench.make, button = bench.button, data = bench.data, exact = window.mothermoldExact;

    /** An amount as typed, and as the book writes it; a decimal comma becomes a point. @returns {Read} */
    function amount(typed, wanted, unit) {
      var read = window.mothermoldAmounts.read(typed, wanted, unit ? { unit: unit } : undefined);
      if (read.fault) { return read; }
      var written = typed.replace(/[\u00a0\u2009\u202f]/g, " ").trim().replace(/\u2212/g, "-").replace(/(\d),(?=\d)/g, "$1.");
      return { value: read.value, exact: read.exact, dimension: read.dimension, written: /[^\d.]/.test(written) || !unit ? written : written + " " + unit };
    }

    /** Degrees Celsius unless F is said; nothing typed is nothing known. @returns {Read} */
    function temperature(typed) {
      var text = typed.trim().replace(/\s*(?:deg\s*|°\s*)?c$/i, " degC").replace(/\s*(?:deg\s*|°\s*)?f$/i, " degF");
      if (!text) { return { written: "" }; }
      var read = amount(text, ["temperature"], "degC");
      if (!read.fault && (Number(read.value) < -10 || Number(read.value) > 60)) {
        return { fault: typed.trim() + " is not a temperature to work in.", advice: "" };
      }
      return read.fault ? { fault: [read.fault, read.advice].filter(Boolean).join(" ") } : read;
    }

    /** @returns {Read} */
    function humidity(typed) {
      if (!typed.trim()) { return { written: "" }; }
      var read = amount(typed, ["share"], "%");
      if (read.fault) { return { fault: [read.fault, read.advice].filter(Boolean).join(" ") }; }
      var written = String(read.written);
      return written.indexOf("%") > 0 && parseFloat(written) <= 100 ? read : { fault: "Humidity is 0 to 100 %.", advice: "" };
    }

    /** The room as typed on the first screen, or the first field that cannot be read. @type {Bench["conditions"]} */
    function conditions(fields) {
      var read = { room: temperature(fields.room.value), humidity: humidity(fields.humidity.value), moldTemp: temperature(fields.moldTemp.value) };
      var wrong = Object.keys(read).find(function (key) { return read[key].fault; });
      if (wrong) { return { fault: read[wrong].fault, field: fields[wrong] }; }
      return { field: fields.room, written: { room: read.room.written || "", humidity: read.humidity.written || "", moldTemp: read.moldTemp.written || "" } };
    }

    /* Degrees of a room and a mold as noted; null where nothing, or nothing that can be read, is. */
    function degrees(room, moldTemp) {
      function of(typed) { var read = temperature(typed); return read.value === undefined ? null : read.value; }
      return { room: of(room), mold: of(moldTemp), material: null };
    }
    function paintTold(place, told) {
      place.textContent = "";
      told.forEach(function (each) { place.appendChild(make("p", each.words, { "class": "bench-fault", "data-code": each.code })); });
    }
    /** What the room means for the whole recipe, as it is typed on the first screen; of a pot life nobody knows only where a clock starts. @type {Bench["paintRoom"]} */
    function paintRoom() {
      var fields = bench.root.querySelector("[data-form='start']").elements, starts = data.steps.map(function (step) { return step.starts; });
      paintTold(bench.said("room"), window.mothermoldRoom.told(data.room, degrees(fields.room.value, fields.moldTemp.value)).filter(function (each) {
        return each.code !== "pot-life-not-known" || starts.indexOf(each.mix || null) >= 0;
      }));
    }
    function toldNow() {
      var run = bench.run();
      return window.mothermoldRoom.told(data.room, degrees(run ? run.room : "", run ? run.moldTemp : ""));
    }

    /* A mold goes with what its own build makes: one choice narrows the other. */
    function fit(changed) {
      var form = bench.root.querySelector("[data-form='start']"), mold = form.elements.mold, thing = form.elements.thing;
      if (!mold) { return; }
      var known = data.molds.filter(function (each) { return each.id === mold.value; })[0];
      if (thing && changed === "mold" && known && known.build && thing.value.split("/")[0] !== known.build) {
        var mine = data.things.filter(function (each) { return each.build === known.build; });
        thing.value = mine.length === 1 ? mine[0].build + "/" + mine[0].thing : "";
      }
      var build = thing ? thing.value.split("/")[0] : "";
      Array.from(mold.options).forEach(function (option) {
        var each = data.molds.find(function (one) { return one.id === option.value; });
        option.hidden = option.disabled = Boolean(changed === "thing" && build && each && each.build && each.build !== build);
        if (option.disabled && option.selected) { mold.value = ""; }
      });
    }

    function mold() {
      var run = bench.run();
      return (run && data.molds.find(function (each) { return each.id === run.mold; })) || null;
    }

    /* What the batch is for: what was poured, else today's mold where the mix fills one, else as the recipe says. */
    function wish(mix, unpoured) {
      var run = bench.run(), noted = run && run.batches[mix.id], today = mold();
      if (noted && noted.poured && !unpoured) { return { wanted: { poured: noted.poured }, words: "rescaled to what was poured" }; }
      if (today && data.times[mix.id].fills && today.fill !== null) { return { wanted: { fill: today.fill }, words: today.title + ", " + today.fill + " ml" }; }
      if (today && data.times[mix.id].fills && today.piece !== null) {
        return { wanted: { piece: today.piece }, words: today.title, lasting: true };
      }
      return { wanted: {}, words: "the recipe's own amount" };
    }

    function places(step) { return (String(exact.number(step)).split(".")[1] || "").length; }
    function grams(line, value) { return exact.number(value).toFixed(places(line.step)) + " g"; }

    function weighedInAll(found) {
      var last = found.portion.filter(function (line) { return line.reads !== null; }).pop();
      return last ? Math.round(exact.number(last.reads) * found.portions * 1000) / 1000 + " g" : "";
    }

    /** What is weighed of a mix, and apart from it what is tapped or typed about it. @type {Bench["sheet"]} */
    function sheet(mix) {
      var deeds = make("section", null, { "class": "sheet-of deeds", "data-mix": mix.id, "aria-label": mix.title });
      var place = make("section", null, { "class": "sheet-of", "data-mix": mix.id }), asked = wish(mix), run = bench.run();
      var found = window.mothermoldBatch.sheet(mix, asked.wanted, data.scales), noted = run && run.batches[mix.id];
      place.appendChild(make("h3", mix.title));
      if (found.fault) {
        place.appendChild(make("p", found.code === "no-fill" ? "The recipe does not say how much of this is mixed." : [found.fault, found.advice].filter(Boolean).join(" ").replace(/`/g, ""), { "class": "bench-fault" }));
        return { weights: place, deeds: "" };
      }
      place.appendChild(make("p", "For " + asked.words + ".", { "class": "quiet" }));
      if (found.portions > 1) {
        place.appendChild(make("p", found.portions + " portions of this, each weighed by itself; in all " + weighedInAll(found) + ".", { "class": "noted" }));
      }
      var poured = asked.wanted.poured, before = poured ? window.mothermoldBatch.sheet(mix, wish(mix, true).wanted, data.scales) : null;
      var cup = poured && before && !before.fault ? window.mothermoldBatch.adjusted(before, found, poured[0]) : [];
      cup.forEach(function (each) {
        var over = exact.cmp(each.add, 0) < 0, much = grams(each, over ? exact.sub(0, each.add) : each.add);
        place.appendChild(make("p", over ? each.title + " is over by " + much + " if it was weighed as the sheet said: take it out, or begin again." : "First add " + much + " of " + each.title + " to what is in the cup.", { "class": "bench-fault" }));
      });
      var table = make("table", null, { "class": "cards" }), head = make("tr"), body = make("tbody");
      ["Part", "Weigh", "Scale reads"].forEach(function (words, index) { head.appendChild(make("th", words, { scope: "col", "class": index ? "number" : "" })); });
      var scale = window.mothermoldBatch.scaleWords(found.portion, data.scales);
      found.portion.forEach(function (line, at) {
        var row = make("tr");
        if (scale[at]) { body.appendChild(make("tr")).appendChild(make("td", scale[at], { colspan: "3", "class": "across quiet", "data-said": "scale" })); }
        row.appendChild(make("th", line.title, { scope: "row" }));
        var weigh = make("td", line.weigh === null ? line.outside : grams(line, line.weigh), { "class": "number weigh", "data-label": "Weigh" });
        if (data.times[mix.id].by === "volume" && line.milliliters !== null) {
          weigh.appendChild(make("span", " or " + exact.number(line.milliliters).toFixed(1) + " ml", { "class": "quiet" }));
        }
        row.append(weigh, make("td", line.reads === null ? "" : grams(line, line.reads), { "class": "number", "data-label": "Scale reads" }));
        body.appendChild(row);
      });
      var top = make("thead");
      top.appendChild(head);
      table.append(top, body);
      place.appendChild(table);
      /* Below the weights: those are read first. */
      if (found.grown) { place.appendChild(make("p", found.grown, { "class": "quiet", "data-said": "grown" })); }
      var said = found.warnings.concat(toldNow().filter(function (each) { return each.mix === mix.id; }));
      if (asked.lasting) { said.push({ code: "by-last-casting", words: "Nobody wrote the cavity of " + asked.words + " down; it goes by its last good casting of " + asked.wanted.piece + " g." }); }
      said.forEach(function (each) { place.appendChild(make("p", each.words, { "class": "bench-fault", "data-code": each.code || "" })); });
      if (!run) { return { weights: place, deeds: "" }; }
      var more = make("details"), parts_ = found.lines.filter(function (line) { return line.grams !== null && exact.cmp(line.grams, 0) > 0; });
      more.appendChild(make("summary", "Poured something else?"));
      var which = bench.labeled("select", "I poured", "poured-part"), much = bench.labeled("input", "of it", "poured", { inputmode: "decimal", autocomplete: "off", placeholder: "45.2 g" });
      parts_.forEach(function (line) { which.field.appendChild(make("option", line.title, { value: line.name })); });
      var fault = make("p", "", { "class": "bench-fault", role: "alert" });
      fault.hidden = true;
      more.append(which.label, much.label, fault, button("Rescale the rest", "pour", { "data-mix": mix.id }));
      if (noted && noted.poured) { more.appendChild(button("Back to the sheet as it was", "unpour", { "data-mix": mix.id })); }
      var total = weighedInAll(found);
      if (noted && noted.weighed) { deeds.appendChild(make("p", "Noted in the run: " + noted.weighed + " mixed.", { "class": "noted" })); }
      if (!noted || noted.weighed !== total) { deeds.appendChild(button("Mixed as shown", "mixed", { "data-mix": mix.id, "data-weighed": total })); }
      deeds.appendChild(more);
      return { weights: place, deeds: deeds };
    }

    /** The mix whose part B meets part A at this step and did not yet, or nothing. @type {Bench["meets"]} */
    function meets(step) {
      var run = bench.run();
      return step.starts && !run.done[step.id] && !(run.clock && run.clock.mix === step.starts) ? step.starts : "";
    }

    /* Under a long instruction the weights look over the bar, the first of them and the edge of the next, and come up as one reads on. */
    function lookOver(sheets) {
      var row = sheets.querySelector("tbody tr"), thumb = bench.root.querySelector(".bench-bar"), bar = thumb.offsetWidth * 2 > window.innerWidth ? thumb.offsetHeight : 0;
      var first = row ? row.getBoundingClientRect().bottom - sheets.getBoundingClientRect().top + 14 : 0;
      sheets.style.bottom = Math.round(bar - Math.max(0, sheets.offsetHeight - Math.max(first, (window.innerHeight - 400) / 2))) + "px";
    }

    /** @type {Bench["paintStep"]} */
    function paintStep(screen, step) {
      var sheets = screen.querySelector("[data-said='sheets']"), mixing = screen.querySelector("[data-said='mixing']"), run = bench.run(), names = (step.starts ? [step.starts] : []).concat(step.mixes);
      sheets.textContent = "";
      paintTold(screen.querySelector("[data-said='room']"), toldNow().filter(function (each) { return each.step === step.id; }));
      mixing.textContent = "";
      names.filter(function (name, index) { return names.indexOf(name) === index; }).forEach(function (name) {
        var mix = data.mixes.find(function (each) { return each.id === name; });
        var made = mix && sheet(mix);
        if (made) {
          sheets.appendChild(made.weights);
          mixing.append(made.deeds);
        }
        if (name !== step.starts) { return; }
        if (run.clock && run.clock.mix === name) {
          mixing.appendChild(make("p", run.clock.stopped ? "The clock was stopped." : "The clock runs. It stays on top of every step. " + bench.potWords(name), { "class": "quiet" }));
        }
        if (!run.clock || run.clock.mix !== name || run.clock.stopped) {
          /* The first time it is the button under the thumb. */
          if (!bench.meets(step)) { mixing.appendChild(button(run.clock && run.clock.mix === name ? "B meets A again: a new clock" : "B meets A: start the clock", "start-clock", { "class": "main alarm", "data-mix": name })); }
          mixing.appendChild(make("p", "It counts to the short end. Deadener, a large batch, retarder and a cold core change a pot life; the label and your own log win.", { "class": "quiet" }));
        }
      });
      lookOver(sheets);
      bench.paintWaits(screen.querySelector("[data-said='waits']"), step);
      var here = function (list) { return list.filter(function (each) { return each.step === step.id; }).length; };
      var told = [[here(run.notes), "note"], [here(run.measured), "measurement"], [here(run.wrong), "thing that went wrong"]].filter(function (each) { return each[0]; });
      screen.querySelector("[data-said='noted']").textContent = told.length ? "Noted here: " + told.map(function (each) { return each[0] + " " + (each[0] > 1 ? each[1].replace(/^\w+/, "$&s") : each[1]); }).join(", ") + "." : "";
    }

    /* Part A and part B of one kit often carry its number with a letter of their own. */
    function kitNumber(lot) { return lot.trim().replace(/(\d)[\s./-]?[A-Za-z]$/, "$1").toLowerCase(); }

    function gotOn(material, number) {
      var entry = data.lots.find(function (each) { return each.material === material; });
      var lot = entry && entry.lots.find(function (each) { return each.lot === number; });
      return lot ? lot.got : null;
    }

    /** @type {Bench["paintLots"]} */
    function paintLots() {
      var place = bench.said("lots"), form = bench.root.querySelector("[data-form='start']"), chosen = {}, told = [];
      var now = new Date(), today = now.getFullYear() + "-" + ("0" + (now.getMonth() + 1)).slice(-2) + "-" + ("0" + now.getDate()).slice(-2);
      data.lots.forEach(function (each) { chosen[each.material] = form.elements["lot:" + each.material].value; });
      data.lots.forEach(function (each) {
        var lot = each.lots.find(function (one) { return one.lot === chosen[each.material]; });
        if (lot && lot.last && lot.last < today) { told.push({ code: "lot-past-date", words: "Lot " + lot.lot + " of " + each.title + " is past its date: " + lot.last + " was the last day." }); }
        each.kit.forEach(function (other) {
          var theirs = chosen[other], day = gotOn(each.material, chosen[each.material]);
          if (chosen[each.material] && theirs && kitNumber(theirs) !== kitNumber(chosen[each.material]) && !(day && day === gotOn(other, theirs)) && (each.material < other || !data.lots.some(function (one) { return one.material === other && one.kit.indexOf(each.material) >= 0; }))) {
            told.push({ code: "kit-lots-differ", words: each.title + " is of lot " + chosen[each.material] + " and what is matched to it of lot " + theirs + "." });
          }
        });
      });
      paintTold(place, told);
    }
    bench.root.addEventListener("input", function (event) {
      if (/^(?:room|moldTemp)$/.test(/** @type {Part} */ (event.target).name || "")) { paintRoom(); }
    });
    bench.root.addEventListener("change", function (event) {
      if (/^lot:/.test(/** @type {Part} */ (event.target).name || "")) { paintLots(); }
      if (/^(?:mold|thing)$/.test(/** @type {Part} */ (event.target).name || "")) { fit(/** @type {Part} */ (event.target).name); }
    });

    Object.assign(bench, { amount: amount, conditions: conditions, temperature: temperature, sheet: sheet, meets: meets, paintStep: paintStep, paintLots: paintLots, paintRoom: paintRoom });
    bench.deeds = Object.assign(bench.deeds || {}, {
      mixed: function (from) {
        bench.tap("batch noted", function (run) { run.batches[from.dataset.mix] = Object.assign({}, run.batches[from.dataset.mix], { weighed: from.dataset.weighed }); });
      },
      pour: function (from) {
        var place = from.closest(".sheet-of"), field = place.querySelector("[name='poured']"), fault = place.querySelector("details .bench-fault");
        var read = amount(field.value, ["mass"], "g");
        if (!read.fault && !(Number(read.value) > 0)) { read = { fault: "Nothing was poured." }; }
        fault.hidden = !read.fault;
        fault.textContent = read.fault ? [read.fault, read.advice].filter(Boolean).join(" ") : "";
        if (read.fault) { field.focus(); return; }
        var part = place.querySelector("[name='poured-part']").value;
        bench.tap("rescaled", function (run) { run.batches[from.dataset.mix] = Object.assign({}, run.batches[from.dataset.mix], { poured: [part, String(read.value)], weighed: "" }); });
        if (from.closest("dialog")) { bench.deeds.batch(from); }
      },
      unpour: function (from) {
        bench.tap("back to the sheet as it was", function (run) { delete run.batches[from.dataset.mix].poured; run.batches[from.dataset.mix].weighed = ""; });
        if (from.closest("dialog")) { bench.deeds.batch(from); }
      }
    });
  });
})();
