/* What the panel of first aid is told at the bench, for the doctor: what was used in this run so far, its lots, where the sheets hang. */
(function () {
  "use strict";
  var parts = window.mothermoldBenchParts = window.mothermoldBenchParts || [];

  parts.push(function (bench) {
    var aid = window.mothermoldHurt, make = bench.make;
    if (!aid) { return; }

    /* A step that is worked at counts as well as one that is done. */
    function used(run) {
      var names = [];
      bench.steps.forEach(function (step, place) { if (place === run.at || run.done[step.id]) { names = names.concat(step.materials); } });
      return bench.data.stuff.filter(function (each) { return names.indexOf(each.material) >= 0; });
    }

    function tell() {
      var run = bench.run(), stuff = run ? used(run) : bench.data.stuff;
      if (!stuff.length) { return []; }
      var place = make("div", null, { "class": "hurt-copy" }), list = make("ul");
      place.appendChild(make("h3", run ? "For the doctor: used in this run so far" : "For the doctor: what this recipe uses"));
      stuff.forEach(function (each) {
        var lot = run && run.lots[each.material];
        list.appendChild(make("li", each.title + (lot ? ", lot " + lot : "") + ": " + (each.where ? "sheet in " + each.where : "nobody noted where its sheet hangs")));
      });
      place.appendChild(list);
      return [place];
    }

    aid.here = [tell];
    bench.ends.push(function () { aid.here = []; });
  });
})();
