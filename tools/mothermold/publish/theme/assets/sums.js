/* The forms of the page "Sums at the bench": reads the fields, hands them to setting.js, says what comes out. */
(function () {
  "use strict";
  var amounts = window.mothermoldAmounts, setting = window.mothermoldSetting;

  function grams(value) { return value >= 100 ? value.toFixed(0) + " g" : value.toFixed(1) + " g"; }
  function liquid(value) { return value >= 100 ? value.toFixed(0) + " ml" : value.toFixed(1) + " ml"; }

  function stopwatch(minutes) {
    if (minutes >= 60) {
      var whole = Math.round(minutes);
      return Math.floor(whole / 60) + " h" + (whole % 60 ? " " + whole % 60 + " min" : "");
    }
    var seconds = Math.round(minutes * 60);
    return [Math.floor(seconds / 60) ? Math.floor(seconds / 60) + " min" : "", seconds % 60 ? seconds % 60 + " s" : ""]
      .filter(Boolean).join(" ") || "0 s";
  }

  /* Each sum: what its fields hold -> lines to show, the first of them the answer. */
  var SUMS = {
    gypsum: function (fields) {
      var asked = { ratio: fields.ratio.value };
      asked[fields.amount.dimension === "mass" ? "powder" : "fill"] = fields.amount.value;
      var found = setting.gypsum(asked);
      return found.fault ? found : [
        "Powder " + grams(found.powder) + ", water " + grams(found.water),
        "Makes " + liquid(found.volume) + " of slurry; nothing is added for the bucket.",
        grams(found.freeWater) + " of water has to dry out (" + (found.loss * 100).toFixed(1) + " % of the weight).",
        "Deep in a thick mass it may warm by about " + found.riseAlpha.toFixed(0) + " to " + found.riseBeta.toFixed(0) + " K (rough)."
      ];
    },
    dry: function (fields) {
      var found = setting.dry({ demolded: fields.demolded.value, ratio: fields.ratio.value });
      return found.fault ? found : ["Dry at about " + grams(found.target) + " (rough)"];
    },
    cure: function (fields) {
      var found = setting.cure({ time: fields.time.value, at: fields.at.value, room: fields.room.value });
      if (found.fault) { return found; }
      if (found.short === found.long) { return [stopwatch(found.usual) + ", as it is stated"]; }
      return [
        stopwatch(found.short) + " to " + stopwatch(found.long) + ", usually " + stopwatch(found.usual),
        "A pot life: be closed within " + stopwatch(found.short) + ".",
        "A demold time: not before " + stopwatch(found.long) + "."
      ].concat(found.stalls ? ["Under 15 °C platinum silicone is known to stall: warm the room, the mold and the parts first."] : []);
    },
    curve: function (fields) {
      var bends = fields.bends.text, radius = fields.radius.value;
      var found = setting.curve({
        shape: fields.shape.text, half: fields.width.value / 2, radius: radius,
        across: bends === "flat" ? null : fields.across ? fields.across.value : radius,
        saddle: bends === "saddle", tolerance: fields.tolerance.value
      });
      if (found.fault) { return found; }
      if (found.surface === "flat") { return ["Lies down at any size, by bending alone"]; }
      return [
        Math.abs(found.wrinkle).toFixed(1) + " mm " + (found.wrinkle > 0 ? "too much, so it wrinkles" : "too little, so it has to stretch"),
        (fields.shape.text === "disc" ? "All around the rim" : "Along each 100 mm of an edge") + ": " + (found.share * 100).toFixed(2) + " %.",
        "Up to " + Math.floor(2 * Number(found.largest)) + " mm wide stays within " + Number((fields.tolerance.value * 100).toPrecision(3)) + " %."
      ];
    },
    cavity: function (fields) {
      var weight = fields.weight, density = fields.density;
      if (fields.from.text !== "water" && !density) {
        return { fault: "The density is not given.", advice: "Weigh a block of it whose volume you know, as `1.5 g/ml`." };
      }
      var found = setting.cavity({ weight: weight.value, density: density ? density.value : undefined });
      return found.fault ? found : [liquid(found.volume) + " to fill", "Nothing is added for cups and stick."];
    }
  };

  /* The fields by name; null where a needed one is still empty, a fault where one cannot be read. */
  function read(form) {
    var found = {}, empty = false, fault = /** @type {Or<Amount> | null} */ (null);
    Array.prototype.forEach.call(form.elements, function (field) {
      if (!field.name) { return; }
      field.removeAttribute("aria-invalid");
      if (field.tagName === "SELECT") { found[field.name] = { text: field.value }; return; }
      if (!field.value.trim()) { empty = empty || field.required; return; }
      var one = amounts.read(field.value, field.dataset.reads.split(" "), field.dataset.unit ? { unit: field.dataset.unit } : undefined);
      if (one.fault) { field.setAttribute("aria-invalid", "true"); fault = fault || one; return; }
      found[field.name] = one;
    });
    return fault || (empty ? null : found);
  }

  function say(output, lines, wrong) {
    output.textContent = "";
    output.classList.toggle("wrong", wrong);
    lines.forEach(function (line, place) {
      var one = document.createElement(place || wrong ? "span" : "strong");
      one.textContent = line;
      output.appendChild(one);
      output.appendChild(document.createTextNode(" "));
    });
  }

  function reckon(form) {
    var fields = read(form), output = form.querySelector("output");
    if (!fields) { say(output, [], false); return; }
    var told = fields.fault ? fields : SUMS[form.dataset.sum](fields);
    if (told.fault) { say(output, [told.fault, told.advice], true); } else { say(output, told, false); }
  }

  Array.prototype.forEach.call(document.querySelectorAll("form[data-sum]"), function (form) {
    form.hidden = false;
    form.addEventListener("input", function () { reckon(form); });
    form.addEventListener("change", function () { reckon(form); });
    form.addEventListener("submit", function (event) { event.preventDefault(); reckon(form); });
    reckon(form);
  });
})();
