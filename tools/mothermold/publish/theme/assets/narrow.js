/* Long lists of the book, narrowed by what is chosen above them; the choice stands in the address, so that it can be sent to somebody
   and comes back with the way back. Years before the newest are folded where the list is long. Without scripts all is shown. */
(function () {
  "use strict";
  var form = document.querySelector("form.narrow-list");
  if (!form) { return; }
  var told = form.querySelector("[role='status']"), years = Array.from(document.querySelectorAll("details.year")), MANY = 40;
  var entries = Array.from(document.querySelectorAll("li[data-entry]")), sides = Array.from(form.querySelectorAll("select"));
  var parts = Array.from(new Set(entries.map(function (each) { return each.closest("section"); }).filter(Boolean)));

  function admits(entry) {
    return sides.every(function (side) { return !side.value || (entry.dataset[side.name] || "").split(" ").includes(side.value); });
  }

  function any(place) {
    return Array.from(place.querySelectorAll("li[data-entry]")).some(function (each) { return !each.hidden; });
  }

  function show() {
    var narrowed = sides.some(function (side) { return side.value; });
    entries.forEach(function (each) { each.hidden = !admits(each); });
    parts.concat(years).forEach(function (each) { each.hidden = !any(each); });
    /* Whoever narrows a list sees all that is left of it. */
    years.forEach(function (each, place) { each.open = narrowed || entries.length <= MANY || !place; });
    var left = new Set(entries.filter(function (each) { return !each.hidden; }).map(function (each) { return each.querySelector("a").href; })).size;
    told.textContent = narrowed ? (left ? left + " of " + new Set(entries.map(function (each) { return each.querySelector("a").href; })).size + "." : "None of them. Choose something else, or `any`.") : "";
  }

  function keep() {
    var chosen = new URLSearchParams();
    sides.forEach(function (side) { if (side.value) { chosen.set(side.name, side.value); } });
    window.history.replaceState(null, "", "#" + chosen.toString());
  }

  function fromAddress() {
    /* A link within the page, as to its foot, narrows nothing. */
    if (window.location.hash && !window.location.hash.includes("=")) { show(); return; }
    var chosen = new URLSearchParams(window.location.hash.slice(1));
    sides.forEach(function (side) {
      side.value = chosen.get(side.name) || "";
      if (side.selectedIndex < 0) { side.value = ""; }
    });
    show();
  }

  form.hidden = false;
  form.addEventListener("input", function () { show(); keep(); });
  form.addEventListener("submit", function (event) { event.preventDefault(); });
  window.addEventListener("hashchange", fromAddress);
  fromAddress();
})();
