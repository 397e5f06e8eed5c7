/* The batch calculator of a page: asks what there is, reckons with batch.js, and says what to weigh and where the extra
   goes. Without scripts the table of three sizes stands in its place. */
(function () {
  "use strict";
  if (!window.mothermoldBatch) { return; }
  var exact = window.mothermoldExact, batch = window.mothermoldBatch;
  var read = window.mothermoldAmounts.read, OUNCE = "45359237/1600000", FLUID = "473176473/16000000";
  var count = 0;

  function make(tag, words, attributes) {
    var made = document.createElement(tag);
    if (words) { made.textContent = words; }
    Object.keys(attributes || {}).forEach(function (key) { made.setAttribute(key, attributes[key]); });
    return made;
  }

  /* A page leaves out what is empty. */
  function whole(mix) {
    function part(each) { return Object.assign({ premix: false, share: null, volume_share: null, outside: "" }, each); }
    var made = Object.assign({
      density: null, percent: "0", left_in_cups: null, smallest: null, largest: null, fill: null, batch: null, plain: false,
      fixed: false, unweighed: false, lacking: [], told: []
    }, mix);
    made.parts = made.parts.map(part);
    if (made.materials) { made.materials = made.materials.map(part); }
    return made;
  }

  function places(step) { return Math.max(0, (exact.number(step).toFixed(6).replace(/0+$/, "").split(".")[1] || "").length); }
  function onScale(value, step) { return exact.fixed(value, places(step)) + " g"; }
  function milliliters(value) { return exact.digits(exact.roundTo(value, "0.1"), 6) + " ml"; }

  function field(form, words, control, note) {
    count += 1;
    control.id = "batch-" + count;
    var holder = make("div", "", { "class": "field" });
    holder.appendChild(make("label", words, { "for": control.id }));
    holder.appendChild(control);
    if (note) {
      var told = make("span", note, { "class": "quiet", id: control.id + "-unit" });
      control.setAttribute("aria-describedby", told.id);
      holder.appendChild(told);
    }
    form.appendChild(holder);
    return holder;
  }

  function choice(options) {
    var made = make("select");
    options.forEach(function (each) { made.appendChild(make("option", each[1], { value: each[0] })); });
    return made;
  }

  function typed() { return make("input", "", { type: "text", autocomplete: "off", inputmode: "text", spellcheck: "false" }); }

  function amount(input, wanted, unit) {
    var found = read(input.value, wanted, { unit: unit });
    if (found.fault) { found.input = input; }
    return found;
  }

  /* The parts that can be weighed, by their titles; what lies in a premix too. */
  function measured(mix) {
    var seen = {};
    return mix.parts.concat(mix.materials || []).filter(function (part) {
      var has = (part.share !== null || part.volume_share !== null) && !seen[part.name];
      seen[part.name] = true;
      return has;
    }).map(function (part) { return [part.name, part.title]; });
  }

  function ways(mix, data) {
    var sized = mix.fill !== null || mix.batch === null, listed = [];
    if (sized || mix.density !== null) { listed.push(["fill", sized ? "A cavity or layer to fill" : "A volume of it"]); }
    if (data.molds.length && sized) { listed.push(["mold", "A mold of this book"]); }
    listed.push(["piece", sized ? "A good casting, weighed with its flashing" : "A weight of it"]);
    if (data.clays.length && sized) { listed.push(["clay", "The clay of the sculpture, weighed"]); }
    listed.push(["have", "What is left of a part"], ["poured", "A part already poured"]);
    return listed;
  }

  class Calculator {
    constructor(place, mix, data) {
      var self = this, form = make("form", "", { "class": "calculator", novalidate: "" });
      this.mix = mix;
      this.data = data;
      form.setAttribute("aria-label", "Another size of " + mix.title);
      this.way = choice(ways(mix, data));
      field(form, "What do you have?", this.way);
      this.value = typed();
      this.valueField = field(form, "How much?", this.value, "ml");
      this.mold = choice(data.molds.map(function (each, at) { return [String(at), each[0] + ", " + each[1]]; }));
      this.moldField = field(form, "Which mold?", this.mold);
      this.clay = choice(data.clays.map(function (each, at) { return [String(at), each[0]]; }));
      this.clayField = field(form, "Which clay?", this.clay);
      this.rows = make("div", "", { "class": "rows" });
      form.appendChild(this.rows);
      this.have = [];
      this.more = make("button", "Another part", { type: "button" });
      form.appendChild(this.more);
      this.castings = make("input", "", { type: "text", inputmode: "numeric", autocomplete: "off", value: "1" });
      this.castingsField = field(form, "How many castings?", this.castings);
      form.appendChild(make("button", "Work it out", { type: "submit" }));
      this.fault = make("p", "", { role: "alert", "class": "fault" });
      this.result = make("div", "", { "class": "result", "aria-live": "polite" });
      form.appendChild(this.fault);
      form.appendChild(this.result);
      this.addRow();
      this.more.addEventListener("click", function () { self.addRow(); self.have[self.have.length - 1].part.focus(); self.show(); });
      this.way.addEventListener("change", function () { self.value.value = ""; self.clear(); self.show(); });
      form.addEventListener("submit", function (event) { event.preventDefault(); self.reckon(); });
      var start = mix.start || {};
      if (start.mode) { this.way.value = start.mode; this.value.value = start.text; }
      else if (mix.fill !== null) { this.value.value = exact.digits(mix.fill, 6) + " ml"; }
      this.show();
      /* The form takes the place of the three sizes, which stay for paper. */
      var fold = make("details", "", { "class": "another" });
      fold.appendChild(make("summary", start.mode ? "Batch for this mold" : "Another size, mold or leftovers"));
      fold.appendChild(form);
      place.classList.add("reckons");
      place.appendChild(fold);
      if (start.mode) { fold.open = true; this.reckon(); }
    }

    addRow() {
      var row = { part: choice(measured(this.mix)), left: typed() };
      row.partField = field(this.rows, "Part", row.part);
      row.leftField = field(this.rows, "How much of it?", row.left, "g");
      this.have.push(row);
    }

    show() {
      var way = this.way.value, parts = way === "have" || way === "poured", single = way === "poured";
      var unit = way === "fill" ? "ml, or US fl oz" : "g, or oz";
      this.valueField.hidden = parts || way === "mold";
      this.valueField.lastChild.textContent = unit;
      this.moldField.hidden = way !== "mold";
      this.clayField.hidden = way !== "clay";
      this.rows.hidden = !parts;
      this.more.hidden = way !== "have" || this.have.length >= measured(this.mix).length;
      this.castingsField.hidden = parts;
      this.have.forEach(function (row, at) {
        row.partField.hidden = row.leftField.hidden = single && at > 0;
        row.leftField.lastChild.textContent = single ? "g, or oz" : "g; or ml, US fl oz";
      });
    }

    clear() {
      this.fault.textContent = "";
      this.result.textContent = "";
      Array.prototype.forEach.call(this.fault.parentNode.querySelectorAll("[aria-invalid]"), function (each) { each.removeAttribute("aria-invalid"); });
    }

    /* What is wanted as batch.js takes it, or the first fault. */
    wanted() {
      var way = this.way.value, found, faults, rows;
      if (way === "poured") {
        found = amount(this.have[0].left, ["mass"], "g");
        return found.fault ? found : { poured: [this.have[0].part.value, found.exact] };
      }
      if (way === "have") {
        rows = this.have.filter(function (row, at) { return at === 0 || row.left.value.trim(); }).map(function (row) {
          var left = amount(row.left, ["mass", "volume"], "g"), said = {};
          said[left.dimension] = left.exact;
          return left.fault ? left : [row.part.value, said];
        });
        faults = rows.filter(function (each) { return each.fault; });
        return faults[0] || { have: rows };
      }
      if (!/^[1-9]\d{0,3}$/.test(this.castings.value.trim())) {
        return { fault: "Castings are counted in whole numbers from 1.", advice: "Type `1` or more.", input: this.castings };
      }
      var castings = Number(this.castings.value);
      if (way === "mold") { return { fill: this.data.molds[Number(this.mold.value)][2], castings: castings }; }
      found = amount(this.value, [way === "fill" ? "volume" : "mass"], way === "fill" ? "ml" : "g");
      if (found.fault) { return found; }
      if (way === "fill") { return { fill: found.exact, castings: castings }; }
      if (way === "piece") { return { piece: found.exact, castings: castings }; }
      return { fill: exact.div(found.exact, this.data.clays[Number(this.clay.value)][1]), castings: castings };
    }

    say(problem) {
      this.fault.textContent = (problem.fault + " " + problem.advice).replace(/`/g, "");
      if (problem.input) { problem.input.setAttribute("aria-invalid", "true"); problem.input.focus(); }
    }

    reckon() {
      this.clear();
      var wanted = this.wanted();
      if (wanted.fault) { this.say(wanted); return; }
      var sheet = batch.sheet(this.mix, wanted, this.data.scales);
      if (sheet.fault) { this.say(sheet); return; }
      this.result.appendChild(make("p", extra(this.mix, wanted, sheet), { "class": "words" }));
      if (sheet.portions > 1) { this.result.appendChild(make("p", sheet.portions + " portions of this, each weighed by itself:", { "data-said": "portions" })); }
      this.result.appendChild(table(sheet, this.data.scales));
      var result = this.result;
      this.notes(wanted, sheet).forEach(function (each) {
        result.appendChild(make("p", each.words, Object.assign({ "class": "notice warning" }, each.code ? { "data-code": each.code } : {})));
      });
    }

    /* All the command says of the same batch without a room, each with its code. */
    notes(wanted, sheet) {
      var topped = wanted.poured ? this.topped(wanted, sheet) : [];
      return topped.map(function (words) { return /** @type {Told} */ ({ words: words }); }).concat(sheet.warnings, batch.pastDate(this.mix, today()), this.mix.closing || []);
    }

    topped(wanted, sheet) {
      var before = batch.sheet(this.mix, {}, this.data.scales);
      if (before.fault) { return []; }
      return batch.adjusted(before, sheet, wanted.poured[0]).map(function (each) {
        return exact.cmp(each.add, 0) > 0
          ? each.title + ": if the batch as written is in the cup already, add " + onScale(each.add, each.step) + "."
          : each.title + ": if the batch as written is in the cup already, it is over by " + onScale(exact.mul(each.add, -1), each.step) + "; pour more of the rest instead.";
      });
    }
  }

  function today() {
    var now = new Date();
    return now.getFullYear() + "-" + ("0" + (now.getMonth() + 1)).slice(-2) + "-" + ("0" + now.getDate()).slice(-2);
  }

  function extra(mix, wanted, sheet) {
    var total = exact.digits(sheet.mass, 4) + " g", castings = wanted.castings || 1, times = castings > 1 ? castings + " x " : "";
    if (wanted.have || wanted.poured) {
      return total + " in all" + (sheet.fill !== null && mix.batch === null ? "; it fills " + (sheet.grown || milliliters(sheet.fill)) : "") + ".";
    }
    if (wanted.piece !== undefined) { return total + ": " + (sheet.grown || times + exact.digits(wanted.piece, 4) + " g") + "."; }
    return total + ": " + (sheet.grown || times + milliliters(wanted.fill)) + ", at " + exact.digits(mix.density, 3) + " g/ml.";
  }

  function table(sheet, scales) {
    var holder = make("div", "", { "class": "scroll", tabindex: "0", role: "region", "aria-label": "What to weigh" });
    var made = make("table", "", { "class": "cards" }), head = made.appendChild(make("thead")).appendChild(make("tr"));
    var body = make("tbody"), sum = exact.of(0), finest = null, known = true, said = batch.scaleWords(sheet.portion, scales);
    [["Part", ""], ["Weigh", "number"], ["Scale reads", "number"], ["In US measures", "number quiet"]].forEach(function (each) {
      head.appendChild(make("th", each[0], each[1] ? { scope: "col", "class": each[1] } : { scope: "col" }));
    });
    function row(title, weigh, reads, us) {
      var line = body.appendChild(make("tr"));
      line.appendChild(make("th", title, { scope: "row" }));
      line.appendChild(make("td", weigh, { "class": "number weigh", "data-label": "Weigh" }));
      line.appendChild(make("td", reads, { "class": "number", "data-label": "Scale reads" }));
      line.appendChild(make("td", us, { "class": "number quiet", "data-label": "In US measures" }));
    }
    function us(weigh, volume) {
      return exact.fixed(exact.div(weigh, OUNCE), 2) + " oz" + (volume === null ? "" : ", " + exact.fixed(exact.div(volume, FLUID), 2) + " US fl oz");
    }
    sheet.portion.forEach(function (line, at) {
      if (said[at]) { body.appendChild(make("tr")).appendChild(make("td", said[at], { colspan: "4", "class": "across quiet", "data-said": "scale" })); }
      if (line.weigh === null) { known = known && Boolean(line.outside); row(line.title, line.outside || milliliters(line.milliliters), "", ""); return; }
      sum = line.reads;
      if (finest === null || exact.cmp(line.step, finest) < 0) { finest = line.step; }
      row(line.title + (line.outside ? " (and " + line.outside + ")" : ""), onScale(line.weigh, line.step), onScale(line.reads, line.step), us(line.weigh, line.milliliters));
    });
    if (finest !== null) { row(sheet.portions > 1 ? "One portion" : "Together", onScale(sum, finest), "", us(sum, sheet.volume === null ? null : exact.div(sheet.volume, sheet.portions))); }
    if (finest !== null && sheet.portions > 1) { row("All " + sheet.portions, onScale(exact.mul(sum, sheet.portions), finest), "", us(exact.mul(sum, sheet.portions), sheet.volume)); }
    made.appendChild(body);
    holder.appendChild(made);
    return holder;
  }

  /* Puts the calculators of one recipe in place: those of a page, or of the part of one that stands for a page. */
  function start(root) {
    var block = root.querySelector("script[id$='batch-data']"), data = block && JSON.parse(block.textContent);
    Array.prototype.forEach.call(block ? root.querySelectorAll(".batch[data-mix]") : [], function (place) {
      var mix = data.mixes[place.dataset.mix];
      if (mix) { new Calculator(place, whole(mix), data); }
    });
  }

  window.mothermoldCalculators = { start: start };
  /* Where several recipes stand in one document, each has its block under a longer name and is started when it is shown. */
  if (document.getElementById("batch-data")) { start(document); }
})();
