/* May this touch that? Two choosers and one answer, put together from what stands on the page: the signs of the table, the reasons
   they lead to, the rules the book adds and its tests. What is chosen stands in the address. Without scripts the table leads on. */
(function () {
  "use strict";
  var form = document.querySelector("form.touch"), place = document.querySelector(".touch-answer");
  if (!form || !place) { return; }
  var table = document.querySelector("table.touching"), why = place.querySelector(".touch-why"), said = place.querySelector(".touch-said");
  var order = Array.from(document.querySelectorAll("template[data-said]")).map(function (each) { return each.dataset.said; });
  var columns = Array.from(table.querySelectorAll("thead th")).map(function (each) { return each.dataset.family; });
  var rows = {}, families = {};

  table.querySelectorAll("tbody tr").forEach(function (row) { rows[row.querySelector("th").dataset.family] = row; });
  form.querySelectorAll("option[data-families]").forEach(function (each) {
    families[each.value] = each.dataset.families.split(" ").filter(Boolean);
  });

  /* The reason for one kind on another; null where nobody looked at it. */
  function reason(used, met) {
    var cell = rows[used] && columns.indexOf(met) > 0 ? Array.from(rows[used].children)[columns.indexOf(met)] : null;
    var link = cell && cell.querySelector("a");
    return link ? document.getElementById(link.hash.slice(1)) : null;
  }

  function holds(words, any) {
    return words.split(" ").some(function (each) { return any.includes(each); });
  }

  /* Whether a name of a test is what was chosen: the material itself, or one of the kind. */
  function means(name, chosen) {
    return chosen === "material/" + name || (chosen.indexOf("material/") !== 0 && (families["material/" + name] || []).includes(chosen));
  }

  function tests(use, on) {
    return Array.from(document.querySelectorAll(".touch-tests li")).filter(function (each) {
      var names = each.dataset.between.split(" ");
      return names.some(function (one) {
        return means(one, use) && names.some(function (other) { return other !== one && means(other, on); });
      });
    });
  }

  function show() {
    var use = form.elements.use.value, on = form.elements.on.value, found = [], unseen = false;
    place.hidden = !use || !on;
    why.textContent = "";
    if (place.hidden) { said.textContent = ""; return; }
    (families[use] || []).forEach(function (used) {
      (families[on] || []).forEach(function (met) {
        var each = reason(used, met);
        if (!each) { unseen = true; } else if (!found.includes(each)) { found.push(each); }
      });
    });
    document.querySelectorAll(".touch-own [data-used]").forEach(function (each) {
      if (holds(each.dataset.used, families[use] || []) && holds(each.dataset.met, families[on] || [])) { found.push(each); }
    });
    found.sort(function (a, b) { return order.indexOf(a.dataset.verdict) - order.indexOf(b.dataset.verdict); });
    /* Where nobody looked at a part of it, it is not known, unless something worse is. */
    var worst = Math.min(found.length ? order.indexOf(found[0].dataset.verdict) : order.length, unseen || !found.length ? order.indexOf("not known") : order.length);
    said.textContent = document.querySelector("template[data-said='" + order[worst] + "']").innerHTML;
    said.className = "touch-said " + order[worst].replace(/ /g, "-");
    found.forEach(function (each) {
      var copy = each.cloneNode(true);
      copy.removeAttribute("id");
      copy.removeAttribute("tabindex");
      why.appendChild(copy);
    });
    var tried = tests(use, on), heading = document.createElement("h3"), list = document.createElement("ul");
    heading.textContent = tried.length ? "Tried in this book: the newest counts, and where it passed it keeps what a test can keep" : "No test of these two is written in this book.";
    list.className = "plain";
    tried.forEach(function (each) { list.appendChild(each.cloneNode(true)); });
    why.append(heading, list);
  }

  function keep() {
    var parts = new URLSearchParams();
    ["use", "on"].forEach(function (name) { if (form.elements[name].value) { parts.set(name, form.elements[name].value); } });
    window.history.replaceState(null, "", "#" + parts.toString());
  }

  function fromAddress() {
    if (window.location.hash && !window.location.hash.includes("=")) { return; }
    var parts = new URLSearchParams(window.location.hash.slice(1));
    ["use", "on"].forEach(function (name) {
      var field = form.elements[name];
      field.value = parts.get(name) || "";
      if (field.selectedIndex < 0) { field.value = ""; }
    });
    show();
  }

  table.addEventListener("click", function (event) {
    var link = /** @type {Part} */ (event.target).closest("a");
    if (!link) { return; }
    event.preventDefault();
    var cell = link.closest("td"), row = cell.closest("tr");
    form.elements.use.value = row.querySelector("th").dataset.family;
    form.elements.on.value = columns[Array.from(row.children).indexOf(cell)];
    show();
    keep();
    place.focus();
    place.scrollIntoView({ block: "start" });
  });
  form.hidden = false;
  form.addEventListener("input", function () { show(); keep(); });
  form.addEventListener("submit", function (event) { event.preventDefault(); });
  window.addEventListener("hashchange", fromAddress);
  fromAddress();
})();
