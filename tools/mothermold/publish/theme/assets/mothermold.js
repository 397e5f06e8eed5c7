/* The find box, the version picker and the choice of light. All work from a folder, without a server. Without scripts every page
   stands whole: the box stays away and all comparisons are shown. */
(function () {
  "use strict";
  var root = document.body.dataset.root || "./";

  function find() {
    var box = document.getElementById("find"), list = document.getElementById("found"), finder = window.mothermoldFinder;
    if (!box || !finder) { return; }
    box.closest(".find").hidden = false;
    var nothing = document.getElementById("nothing"), chosen = -1, trouble = document.querySelector("a.trouble");

    function close() {
      list.hidden = nothing.hidden = true;
      nothing.textContent = "";
      chosen = -1;
      box.setAttribute("aria-expanded", "false");
      box.removeAttribute("aria-activedescendant");
    }

    function show() {
      var answer = finder.search(box.value), every = answer.hits, found = finder.leading(every, 12);
      /* Somebody hurt comes before every failure note. */
      var hurt = window.mothermoldHurt ? window.mothermoldHurt.called(box.value) : [];
      list.textContent = "";
      chosen = -1;
      if (!box.value.trim()) { close(); return; }
      hurt.forEach(function (row, place) {
        var item = document.createElement("li"), kind = document.createElement("span"), now = document.createElement("span");
        item.id = "found-hurt-" + place;
        item.setAttribute("role", "option");
        item.setAttribute("aria-selected", "false");
        item.className = "somebody-hurt";
        item.dataset.page = root + window.mothermoldHurt.page + "#" + row.id;
        item.textContent = row.title + " ";
        kind.className = "quiet";
        kind.textContent = "somebody is hurt";
        now.className = "now";
        now.textContent = row.acts[0];
        item.append(kind, now);
        list.appendChild(item);
      });
      finder.withLines(root, function () { if (!list.hidden && chosen < 0) { show(); } });
      found.forEach(function (hit, place) {
        var entry = finder.entries[hit.place], line = finder.line(answer.terms, hit.place);
        var item = document.createElement("li"), kind = document.createElement("span");
        item.id = "found-" + place;
        item.setAttribute("role", "option");
        item.setAttribute("aria-selected", "false");
        item.dataset.page = root + entry[0];
        item.textContent = entry[1] + " ";
        kind.className = "quiet";
        kind.textContent = entry[2];
        item.appendChild(kind);
        /* What to do now: its first step, under what went wrong. */
        if (entry[9].length) {
          var now = document.createElement("span");
          now.className = "now";
          now.textContent = entry[9][0];
          item.appendChild(now);
        } else if (line && line !== entry[1]) {
          var by = document.createElement("span");
          by.className = "by-line";
          by.textContent = line;
          item.appendChild(by);
        }
        list.appendChild(item);
      });
      /* The rest, and the way to narrow it down, are in the fix finder; so is what was typed, when one goes there. */
      var address = root + "find.html#" + new URLSearchParams({ q: box.value.trim() }).toString();
      if (trouble) { trouble.href = address; }
      if (every.length > found.length) {
        var rest = document.createElement("li");
        rest.id = "found-" + found.length;
        rest.setAttribute("role", "option");
        rest.setAttribute("aria-selected", "false");
        rest.dataset.page = address;
        rest.textContent = "All " + every.length + " in the fix finder";
        list.appendChild(rest);
      }
      var any = Boolean(found.length || hurt.length);
      nothing.textContent = [finder.missing(answer.unknown), any ? "" : "Nothing found. Try other words."].filter(Boolean).join(" ");
      nothing.hidden = !nothing.textContent;
      list.hidden = !any;
      box.setAttribute("aria-expanded", String(!list.hidden));
    }

    function choose(step) {
      var items = list.querySelectorAll("li[id]");
      if (!items.length) { return; }
      if (chosen >= 0) { items[chosen].setAttribute("aria-selected", "false"); }
      /* With none chosen yet, up begins at the end and down at the start. */
      chosen = chosen < 0 && step < 0 ? items.length - 1 : (chosen + step + items.length) % items.length;
      items[chosen].setAttribute("aria-selected", "true");
      items[chosen].scrollIntoView({ block: "nearest" });
      box.setAttribute("aria-activedescendant", items[chosen].id);
    }

    /* A page of the index only; what an author wrote is never an address here. */
    function go(item) {
      if (item) { window.location.href = item.dataset.page; }
    }

    box.addEventListener("input", show);
    box.addEventListener("keydown", function (event) {
      if (event.key === "ArrowDown") { choose(1); event.preventDefault(); }
      else if (event.key === "ArrowUp") { choose(-1); event.preventDefault(); }
      else if (event.key === "Escape") { close(); }
      else if (event.key === "Enter" && !list.hidden) {
        go(list.querySelector("[aria-selected='true']") || list.querySelector("li[id]"));
      }
    });
    list.addEventListener("click", function (event) { go(/** @type {Part} */ (event.target).closest("li[id]")); });
    document.addEventListener("click", function (event) {
      if (!/** @type {Part} */ (event.target).closest(".find")) { close(); }
    });
  }

  function compare() {
    var form = document.querySelector(".picker");
    if (!form) { return; }
    var pairs = document.querySelectorAll(".pair"), before = form.elements.before, after = form.elements.after;
    var told = form.querySelector("[role='status']");
    form.hidden = false;

    function show() {
      var a = Number(before.value), b = Number(after.value);
      /* Older first, whichever way round the two were asked for. */
      if (a > b) { before.value = String(b); after.value = String(a); }
      var id = "v" + before.value + "-v" + after.value, shown = false;
      pairs.forEach(function (pair) {
        pair.hidden = pair.id !== id;
        if (pair.id === id) { shown = true; }
      });
      told.textContent = shown ? "" : a && a === b ? "Choose two different versions."
        : "These two are not compared here; choose neighbors, or one with the version in use. `mothermold diff` compares any two.";
      return shown ? id : "";
    }

    function fromHash() {
      var asked = /^#v(\d+)-v(\d+)$/.exec(window.location.hash);
      if (!asked) { return false; }
      before.value = asked[1];
      after.value = asked[2];
      show();
      return true;
    }

    function picked() {
      var id = show();
      if (id) { window.history.replaceState(null, "", "#" + id); }
    }

    before.addEventListener("change", picked);
    after.addEventListener("change", picked);
    window.addEventListener("hashchange", fromHash);
    if (!fromHash()) {
      var last = pairs[pairs.length - 1].id.slice(1).split("-v");
      before.value = last[0];
      after.value = last[1];
      show();
    }
  }

  /* The life of a recipe: one version tapped and then another compares the two; the same one twice opens it. */
  function life() {
    var place = /** @type {Part} */ (document.querySelector(".life[data-pairs]"));
    if (!place || !place.dataset.compared) { return; }
    var told = place.querySelector("[data-said='compare']"), chosen = /** @type {Part | null} */ (null), pairs = place.dataset.pairs.split(" ");
    told.textContent = "Tap two versions to compare them.";
    place.addEventListener("click", function (event) {
      var knot = /** @type {Part | null} */ (/** @type {Part} */ (event.target).closest(".knot"));
      if (!knot || event.ctrlKey || event.metaKey || event.shiftKey) { return; }
      var number = Number(knot.dataset.version);
      if (knot === chosen) { return; }
      event.preventDefault();
      if (!chosen) {
        chosen = knot;
        knot.classList.add("chosen");
        told.textContent = "Version " + number + " is chosen. Tap another to compare it with, or the same again to open it.";
        return;
      }
      var other = Number(chosen.dataset.version), id = Math.min(number, other) + "-" + Math.max(number, other);
      window.location.href = place.dataset.compared + "#v" + id.replace("-", "-v");
      if (pairs.indexOf(id) < 0) { told.textContent = "These two are not compared on a page of their own; the page of comparisons opens."; }
      chosen.classList.remove("chosen");
      chosen = null;
    });
  }

  /* What stands in the margins of a printed recipe: which it is, and where the one in use is. */
  function paper() {
    var head = /** @type {Part | null} */ (document.querySelector(".version[data-paper]")), root = document.documentElement;
    if (!head) { return; }
    root.style.setProperty("--paper-what", JSON.stringify(head.dataset.paper));
    root.style.setProperty("--paper-where", JSON.stringify(head.dataset.current));
  }

  function light() {
    var row = document.querySelector(".light"), chosen = window.mothermoldLight;
    if (!row || !chosen) { return; }
    var buttons = row.querySelectorAll("button");
    function show() {
      buttons.forEach(function (button) {
        button.setAttribute("aria-pressed", String(button.dataset.light === chosen.now));
      });
    }
    row.hidden = false;
    row.addEventListener("click", function (event) {
      var button = /** @type {Part} */ (event.target).closest("button");
      if (button) { chosen.set(button.dataset.light); show(); }
    });
    show();
  }

  /* Which day in the chair is today's knows the device; the page says what it was when it was made. */
  function chairs() {
    var now = new Date(), today = Date.UTC(now.getFullYear(), now.getMonth(), now.getDate());
    document.querySelectorAll("[data-chair-days] > li").forEach(function (line) {
      var days = Math.round((Date.parse(String(line.querySelector("time").getAttribute("datetime"))) - today) / 86400000);
      var words = { "-1": "yesterday", 0: "today", 1: "tomorrow" }[days];
      line.querySelector("[data-called]").textContent = words || (days > 0 ? "in " + days + " days" : -days + " days ago");
    });
  }

  find();
  chairs();
  compare();
  life();
  paper();
  light();
})();
