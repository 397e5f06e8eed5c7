/* The page of the fix finder: what is typed and chosen goes through find.js and stands in the address, so that a search can be
   sent to somebody and comes back with the way back. Works from a folder; without scripts all notes stand in the page. */
(function () {
  "use strict";
  var form = document.querySelector(".finder"), finder = window.mothermoldFinder;
  if (!form || !finder) { return; }
  var root = document.body.dataset.root || "./", list = document.querySelector(".hits"), all = document.querySelector(".all");
  var told = form.querySelector("[role='status']"), MOST = 30;
  var SIDES = { stage: 4, family: 5, harm: 6, answer: 7 }, narrow = form.querySelector(".narrow");

  function chosen() {
    return Object.keys(SIDES).map(function (name) {
      return { name: name, at: SIDES[name], value: form.elements[name] ? form.elements[name].value : "" };
    }).filter(function (each) { return each.value; });
  }

  function admits(entry, sides) {
    return sides.every(function (side) {
      var has = entry[side.at];
      return Array.isArray(has) ? has.includes(side.value) : has === side.value;
    });
  }

  /* With nothing typed: failures alone, the most pressing first. */
  function pressing() {
    return finder.entries.map(function (_entry, place) { return { place: place }; })
      .filter(function (hit) { return finder.entries[hit.place][2] === "failure"; })
      .sort(function (a, b) { return finder.entries[a.place][8] - finder.entries[b.place][8]; });
  }

  function element(name, words, kind) {
    var made = document.createElement(name);
    if (words) { made.textContent = words; }
    if (kind) { made.className = kind; }
    return made;
  }

  function item(entry, open, line) {
    var made = document.createElement("li"), link = element("a", entry[1]);
    link.href = root + entry[0];
    /* That a fix is too young to tell is no news in a list. */
    if (entry[7] && entry[7] !== "too few runs") { made.appendChild(element("span", finder.answers[entry[7]], "tag " + entry[7].replace(/ /g, "-"))); }
    made.appendChild(link);
    var quiet = [entry[2] === "failure" ? "" : entry[2], entry[4], entry[6] ? "at worst " + entry[6] : ""].filter(Boolean).join(", ");
    made.appendChild(element("span", " " + quiet, "quiet"));
    /* By which line it was found, where its title does not say so. */
    if (line && line !== entry[1]) { made.appendChild(element("p", line, "by-line")); }
    if (entry[9].length) {
      var now = document.createElement("details"), steps = document.createElement("ol");
      now.open = open;
      now.className = "now";
      now.appendChild(element("summary", "Do this now"));
      entry[9].forEach(function (step) { steps.appendChild(element("li", step)); });
      now.appendChild(steps);
      /* What makes it worse belongs to what to do: the note may never be opened. */
      if (entry[10].length) {
        var not = document.createElement("ul");
        not.className = "not";
        entry[10].forEach(function (each) { not.appendChild(element("li", each)); });
        now.appendChild(element("strong", "Do not"));
        now.appendChild(not);
      }
      made.appendChild(now);
    }
    return made;
  }

  /* Somebody is hurt: the acts themselves, before every note. */
  function hurtItem(row) {
    var made = document.createElement("li"), link = element("a", row.title), acts = element("ol", "", "acts"), panel = element("div", "", "first-aid");
    made.className = "somebody-hurt";
    link.href = root + window.mothermoldHurt.page + "#" + row.id;
    link.dataset.hurtOpen = row.id;
    row.acts.forEach(function (each) { acts.appendChild(element("li", each)); });
    panel.appendChild(acts);
    if (row.never.length) {
      var never = element("ul", "", "never");
      row.never.forEach(function (each) { never.appendChild(element("li", each)); });
      panel.appendChild(never);
    }
    made.append(element("span", "somebody is hurt", "tag hurt"), link, panel);
    return made;
  }

  function show() {
    var query = form.elements.q.value, sides = chosen(), typed = Boolean(query.trim());
    var answer = finder.search(query), found = typed ? answer.hits : pressing();
    var before = found.length, missing = typed ? finder.missing(answer.unknown) : "";
    found = found.filter(function (hit) { return admits(finder.entries[hit.place], sides); });
    var hurt = typed && window.mothermoldHurt ? window.mothermoldHurt.called(query) : [];
    list.textContent = "";
    hurt.forEach(function (row) { list.appendChild(hurtItem(row)); });
    /* What to do now is open for the first ones: whoever is stuck does not tap. */
    (typed ? finder.leading(found, MOST) : found.slice(0, MOST)).forEach(function (hit, place) {
      list.appendChild(item(finder.entries[hit.place], typed && place < 3, typed ? finder.line(answer.terms, hit.place) : ""));
    });
    if (typed) { finder.withLines(root, show); }
    list.hidden = !typed && !sides.length;
    all.hidden = !list.hidden;
    var count = list.hidden || (hurt.length && !found.length) ? "" : !found.length && before ? before + " found, none with what is chosen below."
      : !found.length ? "Nothing found. Try other words, or fewer."
      : found.length > MOST ? MOST + " of " + found.length + "." : found.length + " found.";
    told.textContent = [missing, count].filter(Boolean).join(" ");
  }

  function keep() {
    var parts = new URLSearchParams();
    if (form.elements.q.value.trim()) { parts.set("q", form.elements.q.value.trim()); }
    chosen().forEach(function (side) { parts.set(side.name, side.value); });
    window.history.replaceState(null, "", "#" + parts.toString());
  }

  function fromAddress() {
    /* A link within the page, as to its foot, is no search. */
    if (window.location.hash && !window.location.hash.includes("=")) { return; }
    var parts = new URLSearchParams(window.location.hash.slice(1));
    form.elements.q.value = parts.get("q") || "";
    Object.keys(SIDES).forEach(function (name) {
      var field = form.elements[name];
      if (field) { field.value = parts.get(name) || ""; if (field.selectedIndex < 0) { field.value = ""; } }
    });
    show();
  }

  form.hidden = false;
  /* Beside a keyboard there is room; on a phone the answers come first. */
  narrow.open = window.innerWidth >= 640 || /(stage|family|harm|answer)=/.test(window.location.hash);
  form.addEventListener("input", function () { show(); keep(); });
  form.addEventListener("submit", function (event) { event.preventDefault(); });
  window.addEventListener("hashchange", fromAddress);
  fromAddress();
})();
