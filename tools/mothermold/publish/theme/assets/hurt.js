/* Somebody is hurt: which rows some words call, by the rule of find/shouted.py, and a panel over any page that shows what to do in
   two taps. What it says is laid down by hurt-rows.js, so it needs no network; without scripts the same stands in hurt.html. */
(function () {
  "use strict";
  var book = window.mothermoldHurt;
  if (!book) { return; }
  var ALONE = 2, UNDER = ["under", "underneath", "beneath", "where", "after", "since", "wear"], WORN = ["head", "life", "face", "body"];
  var WHO = ["people", "me", "whose", "self", "theirs", "somebody"];
  /* Groups that are said of what is made as well as of a body. */
  var OF_THINGS = ["things", "made-of", "asked", "effects", "made", "shown", "own-harm", "swallowable"];
  var reading = window.mothermoldStems(book), words = book.words, small = new Set(book.small), known = new Set(words.known), loose = new Set(words.loose);
  var near = new Set(Object.keys(words.near).map(function (each) { return words.near[each]; }).concat(words.groups.told));
  var starts = new Map();
  Object.keys(words.groups).forEach(function (group) {
    words.groups[group].forEach(function (phrase) {
      var stems = phrase.split(" ");
      if (!starts.has(stems[0])) { starts.set(stems[0], []); }
      starts.get(stems[0]).push({ stems: stems, group: group });
    });
  });

  /* A word nobody of the trade knows, as the one it may be a slip of. */
  function meant(stem) {
    var most = stem.length < 5 ? 0 : stem.length < 8 ? 1 : 2, best = stem, least = most + 1;
    if (!most || known.has(stem)) { return stem; }
    Object.keys(words.near).forEach(function (each) {
      if (each.length < 4 || each[0] !== stem[0]) { return; }
      var count = reading.slips(stem, each, most);
      if (count < least) { least = count; best = words.near[each]; }
    });
    return best;
  }

  /* Whether what comes after these words is on somebody: under a piece and in a head cast is somebody. */
  function worn(before) {
    return before.length > 0 && (WORN.includes(before[before.length - 1]) || before.slice(-2).some(function (each) { return UNDER.includes(each); }));
  }

  /* Where a phrase ends that begins at a place, loose words between its own left out: "in her left eye" is "in eye"; 0 where it does not stand there. */
  function endOf(phrase, stems, start) {
    var place = start + 1;
    for (var next = 1; next < phrase.length; next += 1) {
      while (place < stems.length && stems[place] !== phrase[next] && loose.has(stems[place])) { place += 1; }
      if (stems[place] !== phrase[next]) { return 0; }
      place += 1;
    }
    return place;
  }

  /* What a query says, by groups of words; a part of a thing is no part of a body. */
  function said(typed, stems) {
    var found = new Map(), places = new Map(), inside = new Set(), things = new Set(), parts = new Set(), bodies = [];
    function of(group) { return places.get(group) || []; }

    stems.forEach(function (first, start) {
      (starts.get(first) || []).forEach(function (each) {
        var end = endOf(each.stems, stems, start);
        if (!end) { return; }
        if (!places.has(each.group)) { places.set(each.group, []); }
        places.get(each.group).push([start, end]);
      });
    });
    words.body.forEach(function (group) { bodies = bodies.concat(of(group)); });
    /* What ends a part of the body is no thing: a nose hole. */
    bodies.forEach(function (each) { for (var place = each[0] + 1; place < each[1]; place += 1) { inside.add(place); } });
    of("things").forEach(function (each) { if (!inside.has(each[0]) && !worn(stems.slice(0, each[0]))) { things.add(each[0]); } });
    /* A part of the body made of something is a thing, too: a rubber nose. */
    var ends = new Map(bodies.sort(function (one, other) { return one[0] - other[0] || one[1] - other[1]; })), madeOf = of("made-of").filter(function (each) { return ends.has(each[1]); });
    madeOf.forEach(function (each) { things.add(each[0]).add(each[1]); });
    var made = new Set(madeOf.map(function (each) { return each[1]; }));
    /* What ends here is a part of a thing and of no body: "nose tip", "mouth of the vent". */
    function ofThing(end) { return things.has(end) || (stems[end] === "of" && [1, 2, 3, 4].some(function (far) { return things.has(end + far); })); }
    var nobodys = new Set(bodies.filter(function (each) { return made.has(each[0]) || ofThing(each[1]); }).map(function (each) { return each[1]; }));
    places.forEach(function (all, group) {
      if (!OF_THINGS.includes(group)) { places.set(group, all.filter(function (each) { return !nobodys.has(each[1]); })); }
    });
    words.body.forEach(function (group) { of(group).forEach(function (each) { parts.add(each[0]); }); });

    function has(group) {
      if (!found.has(group)) { found.set(group, of(group).length > 0); }
      return found.get(group);
    }
    var theirs = of("whose").some(function (each) { return parts.has(each[1]) || parts.has(each[1] + 1); });
    /* Somebody is named, and not as whose a thing is, or for whom: "the actor", not "the actor's nose piece". */
    var named = of("people").some(function (each) {
      return !things.has(ends.has(each[1]) ? ends.get(each[1]) : each[1]) && !stems.slice(Math.max(each[0] - 2, 0), each[0]).includes("for") &&
        !of("things").some(function (thing) { return thing[0] < each[0] && each[0] < thing[1]; });
    });
    var somebody = named || theirs || of("me").length > 0, shows = new Set(of("made").map(function (each) { return each[0]; }));
    if (!somebody) { Array.from(ends.keys()).filter(function (start) { return shows.has(ends.get(start)); }).forEach(function (start) { shows.add(start); }); }
    /* A word of no group, neither small nor a number, is strange to first aid: where nobody is spoken of, so is the rest. */
    var strange = !somebody && typed.some(function (word, place) { return !small.has(word) && !near.has(stems[place]) && !/^\d/.test(word); });
    found.set("theirs", theirs);
    found.set("somebody", somebody);
    return { has: has, ofAThing: (things.size > 0 || has("asked") || strange) && !named && !theirs,
      forShow: has("effects") || of("shown").some(function (each) { return shows.has(each[1]); }) };
  }

  /** The rows that some words call, what fits most of the words first. @type {Hurt["called"]} */
  function called(query) {
    var typed = reading.read(query), what = said(typed, typed.map(reading.stem).map(meant)), counted = typed.filter(function (word) { return !small.has(word); }).length;
    if (what.forShow && !what.has("own-harm")) { return []; }

    function weight(way) { return way.reduce(function (sum, word) { return sum + (WHO.includes(word) ? 0 : word.split(" ").length); }, 0); }
    function fit(ways) {
      return ways.reduce(function (most, way) { return way.every(what.has) ? Math.max(most, weight(way)) : most; }, -1);
    }
    function fitting(ways) {
      return Object.keys(words.rows).map(function (name, place) { return { name: name, place: place, fit: fit(ways(words.rows[name])) }; })
        .filter(function (each) { return each.fit >= 0; }).sort(function (a, b) { return b.fit - a.fit || a.place - b.place; });
    }
    var found = fitting(function (row) {
      var alone = counted <= ALONE ? row[2].map(function (word) { return [word]; }) : [];
      return row[0].concat(what.ofAThing ? [] : row[1].concat(alone));
    });
    if (!found.length && !what.ofAThing) { found = fitting(function (row) { return row[3]; }); }
    return found.map(function (each) { return book.rows.filter(function (row) { return row.id === each.name; })[0]; });
  }

  function make(name, text, kind, more) {
    var made = document.createElement(name);
    if (text) { made.textContent = text; }
    if (kind) { made.className = kind; }
    Object.keys(more || {}).forEach(function (key) { made.setAttribute(key, more[key]); });
    return made;
  }

  /** @type {Part} */
  var panel;
  /** @type {Part} */
  var body;
  /** @type {Part} */
  var title;
  /** @type {{ row: string, end: number, tick: number, tell: () => void }} */
  var clock;

  function built() {
    panel = make("dialog", "", "hurt-panel first-aid", { "aria-labelledby": "hurt-title" });
    title = make("h2", "", "", { id: "hurt-title", tabindex: "-1" });
    body = make("div", "", "hurt-body");
    var foot = make("p", "", "hurt-foot"), other = make("button", "Something else", "other", { type: "button" }), back = make("button", "Back to work", "", { type: "button" });
    other.addEventListener("click", list);
    back.addEventListener("click", function () { panel.close(); });
    foot.append(other, back);
    panel.append(title, body, foot);
    document.body.appendChild(panel);
  }

  function begin(words, first) {
    title.textContent = words;
    body.textContent = "";
    panel.querySelector(".other").hidden = first;
    if (!panel.open) { panel.showModal(); }
    body.scrollTop = 0;
    title.focus();
  }

  function numbers() {
    if (!book.numbers.length) {
      return make("p", book.public ? "Know the emergency number where you are: a public edition holds none."
        : "Nobody has written the numbers of this place yet: emergency: in recipes/book.yaml.", "numbers");
    }
    var told = make("dl", "", "numbers");
    book.numbers.forEach(function (each) {
      var row = make("div"), said = make("dd"), number = /^[+\d][\d ()/-]{1,24}$/.test(each.said);
      if (number && (each.key === "call" || each.key === "poison")) { said.appendChild(make("a", each.said, "", { href: "tel:" + each.said.replace(/[^+\d]/g, "") })); }
      else { said.textContent = each.said; }
      row.append(make("dt", each.title), said);
      told.appendChild(row);
    });
    return told;
  }

  function list() {
    begin("Somebody is hurt", true);
    var rows = make("ul", "", "hurts", { role: "list" });
    book.rows.forEach(function (row) {
      var item = make("li"), button = make("button", row.title, "", { type: "button", "data-hurt": row.id });
      button.addEventListener("click", function () { show(row); });
      item.appendChild(button);
      rows.appendChild(item);
    });
    body.append(rows, numbers());
  }

  function listed(tag, lines, kind, words) {
    var made = make(tag, "", kind, words ? { "aria-label": words } : {});
    lines.forEach(function (each) { made.appendChild(make("li", each)); });
    return made;
  }

  function show(row) {
    begin(row.title, false);
    body.appendChild(listed("ol", row.acts, "acts"));
    if (row.clock) { body.appendChild(timed(row)); }
    if (row.never.length) { body.appendChild(listed("ul", row.never, "never", "Never")); }
    body.append(make("h3", "Call for help"), listed("ul", row.call, "call"), numbers());
    here().forEach(function (each) { body.appendChild(each); });
    if (row.more) { body.appendChild(make("p", row.more, "more")); }
    var from = make("details", "", "sources");
    from.append(make("summary", "Where each line is from"), listed("ol", row.sources.map(function (each) { return each.join("; "); }), ""),
      make("p", "First aid by published guidance, not a diagnosis."));
    body.appendChild(from);
  }

  /* What this page knows: how this thing comes off a person, what was used, where the sheets hang. */
  function here() {
    var told = [];
    document.querySelectorAll(".hurt-here").forEach(function (each) {
      /* In the book as one file every recipe stands in the page; what is meant is the one in view. */
      var part = each.closest(".carried");
      if (part && !part.classList.contains("shown")) { return; }
      var copy = make("div", "", "hurt-copy");
      Array.from(each.children).forEach(function (child) { if (child.tagName !== "H2") { copy.appendChild(child.cloneNode(true)); } });
      copy.querySelectorAll("[id]").forEach(function (named) { named.removeAttribute("id"); });
      told.push(copy);
    });
    var bench = (book.here || []).map(function (tell) { return tell(); });
    if (!bench.length) { told = told.concat(sheets()); }
    return told.concat(bench.flat());
  }

  /* For the doctor, where no run tells what was used: all the recipe names, and where the sheets hang. */
  function sheets() {
    var shown = Array.from(document.querySelectorAll(".before .hung")).filter(function (each) {
      var part = each.closest(".carried");
      return !part || part.classList.contains("shown");
    });
    if (!shown.length) { return []; }
    var place = make("div", "", "hurt-copy");
    place.append(make("h3", "For the doctor: what this uses, and where its sheets hang"), shown[0].cloneNode(true));
    return [place];
  }

  function minutes(seconds) { return Math.floor(seconds / 60) + ":" + String(seconds % 60).padStart(2, "0"); }

  /* The time that is the treatment: one tap, and it runs on while the panel is closed. */
  function timed(row) {
    var button = make("button", "", "aid-clock", { type: "button" });
    function tell() {
      var mine = clock && clock.row === row.id, left = mine ? Math.max(0, Math.round((clock.end - Date.now()) / 1000)) : 0;
      button.textContent = !mine ? row.clock.what + ": start " + row.clock.minutes + " minutes" : left ? row.clock.what + ": " + minutes(left) + " to go" : row.clock.what + ": " + row.clock.minutes + " minutes are over";
      document.querySelectorAll("a.hurt .left, [data-hurt-open] .left").forEach(function (each) { each.textContent = mine && left ? " " + minutes(left) : ""; });
    }
    button.addEventListener("click", function () {
      if (clock && clock.row === row.id && clock.end > Date.now()) { return; }
      if (clock) { window.clearInterval(clock.tick); }
      clock = { row: row.id, end: Date.now() + row.clock.minutes * 60000, tick: window.setInterval(function () { clock.tell(); }, 1000), tell: tell };
      tell();
    });
    if (clock && clock.row === row.id) { clock.tell = tell; }
    tell();
    return button;
  }

  /** @type {Hurt["open"]} */
  function open(id) {
    if (!panel) { built(); }
    var row = id && book.rows.find(function (each) { return each.id === id; });
    if (row) { show(row); } else { list(); }
  }

  book.called = called;
  book.open = open;
  if (!window.HTMLDialogElement) { return; }
  document.addEventListener("click", function (event) {
    var asked = /** @type {Part} */ (event.target).closest("a.hurt, [data-hurt-open]");
    if (!asked || event.ctrlKey || event.metaKey || event.shiftKey) { return; }
    event.preventDefault();
    open(asked.dataset.hurtOpen || "");
  });
})();
