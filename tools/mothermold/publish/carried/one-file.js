/* Finds the way in a book carried as one file: the list or the course, a recipe or its bench view, the words, by what stands after the #, so that going
   back works. Recipes stand in the document; a bench view is made fresh from its template and let go when it is left. */
(function () {
  "use strict";
  var list = document.getElementById("recipes"), place = document.getElementById("at-the-bench"), name = document.title;
  var parts = Array.from(document.querySelectorAll(".carried")), begun = [], bench = null, now = "";
  /* How far down each part was when a link was followed out of it: going back leads there again. */
  /** @type {Map<string, number>} */
  var left = new Map();
  var led = false;

  function asked() {
    try { return decodeURIComponent(window.location.hash.slice(1)); } catch (broken) { return ""; }
  }

  function show(part) {
    if (bench) { bench.leave(); bench = null; }
    place.textContent = "";
    parts.forEach(function (each) { each.classList.toggle("shown", each === part); });
  }

  function head(part) {
    var found = part.querySelector("h1");
    document.title = part === list ? name : found.textContent + " · " + name;
    found.setAttribute("tabindex", "-1");
    return found;
  }

  function open(part, target) {
    var changed = now !== part.id, first = !now;
    if (changed) { show(part); }
    now = part.id;
    if (begun.indexOf(part) < 0) { begun.push(part); window.mothermoldCalculators.start(part); }
    var title = head(part);
    if (target && target !== part) { target.scrollIntoView(); return; }
    window.scrollTo(0, led && part !== list ? 0 : left.get(part.id) || 0);
    if (changed && !(first && part === list)) { title.focus({ preventScroll: true }); }
  }

  function work(template) {
    if (now === template.id) { return; }
    show(null);
    now = template.id;
    place.appendChild(template.content.cloneNode(true));
    bench = window.mothermoldBenchView.start(place.querySelector(".bench"));
    document.title = bench.data.title + ", at the bench · " + name;
  }

  function go() {
    var wanted = asked(), target = wanted ? document.getElementById(wanted) : null;
    if (target && target.tagName === "TEMPLATE") { work(target); return; }
    var part = parts.find(function (each) { return wanted === each.id || wanted.indexOf(each.id + ":") === 0; });
    if (part) { open(part, target); return; }
    /* A place that belongs to every view, such as the start of the text, is no reason to leave the one in view. */
    if (!target || !now) { open(list, null); }
  }

  document.addEventListener("click", function (event) {
    if (event.target.closest("a[href^='#']")) { left.set(now, window.scrollY); led = true; }
  });
  window.addEventListener("hashchange", function () { go(); led = false; });
  go();
})();
