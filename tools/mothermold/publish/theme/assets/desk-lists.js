/* Entries of lists at the desk: added, doubled, moved by buttons or by a handle, taken out and brought back, without asking the
   server. Each change is what the button of the same value would have done there. */
(function () {
  "use strict";
  var TOKEN = /^(\d+|\d*\+\w*)$/, dragged = /** @type {Part | null} */ (null);

  /* The fields themselves have no name for it: who is told of a change hears an `input` of the form. */
  function changed(form, words) {
    var news = document.querySelector(".deed-news");
    if (news) { news.textContent = words; }
    form.dispatchEvent(new Event("input", { bubbles: true }));
  }

  function entries(list) {
    return Array.from(list.children).filter(function (each) { return each.matches("[data-entry]"); });
  }

  function listOf(box) { return box.querySelector(".entries"); }
  function boxOf(entry) { return entry.parentNode.closest("[data-list]"); }
  function called(box, entry) {
    var one = box.dataset.one;
    return one.charAt(0).toUpperCase() + one.slice(1) + " " + (entries(listOf(box)).indexOf(entry) + 1);
  }

  function each(root, work) { [root].concat(Array.from(root.querySelectorAll("*"))).forEach(work); }

  /* Everything in an entry that goes by its name goes by another one. */
  function rename(entry, before, after) {
    each(entry, function (element) {
      Array.from(element.attributes).forEach(function (attribute) {
        if (attribute.value.indexOf(before) >= 0 && /^(id|name|for|value|aria-describedby|data-entry|data-list|data-many)$/.test(attribute.name) && !typed(element, attribute)) {
          attribute.value = attribute.value.split(before).join(after);
        }
      });
    });
  }

  /* A value is what somebody typed, but on a button. */
  function typed(element, attribute) { return attribute.name === "value" && element.tagName !== "BUTTON"; }

  function number(box) {
    var highest = Number(box.dataset.highest || 0);
    entries(listOf(box)).forEach(function (entry) {
      var after = entry.dataset.entry.split(".").pop().split("+")[1];
      highest = Math.max(highest, Number(after) || 0);
    });
    box.dataset.highest = String(highest + 1);
    return highest + 1;
  }

  function renumber(box) {
    entries(listOf(box)).forEach(function (entry) {
      var here = called(box, entry);
      entry.querySelector(".which").textContent = here;
      Array.from(entry.children).filter(function (part) { return part.matches(".deeds"); }).forEach(function (deeds) {
        deeds.querySelectorAll(".unseen").forEach(function (words) { words.textContent = words.textContent.replace(/: .*$/, ": " + here); });
      });
    });
  }

  function named(entry, name, token) {
    var hidden = entry.querySelector("input[type='hidden']");
    hidden.name = name;
    hidden.value = token;
  }

  function begin(entry) {
    var field = entry.querySelector("details > :not(summary) input:not([type='hidden']), details select, details textarea");
    entry.querySelector("details").open = true;
    (field || entry.querySelector("summary")).focus();
  }

  function add(form, box) {
    var name = box.dataset.list, token = "+" + number(box);
    var blank = name.split(".").map(function (step) { return TOKEN.test(step) ? "+" : step; }).concat("+").join(".");
    var template = /** @type {HTMLTemplateElement | null} */ (/** @type {unknown} */ (document.querySelector("template[data-blank='" + blank + "']")));
    if (!template) { return false; }
    var entry = /** @type {Part} */ (template.content.querySelector("[data-entry]").cloneNode(true));
    rename(entry, blank, name + "." + token);
    named(entry, name, token);
    listOf(box).appendChild(entry);
    dress(entry);
    renumber(box);
    begin(entry);
    changed(form, called(box, entry) + " is added. Nothing is written yet.");
    return true;
  }

  function double(form, entry) {
    var box = boxOf(entry), before = entry.dataset.entry, old = before.split(".").pop();
    var token = old.split("+")[0] + "+" + number(box), after = box.dataset.list + "." + token;
    var copy = /** @type {Part} */ (entry.cloneNode(true)), from = entry.querySelectorAll("select"), to = copy.querySelectorAll("select");
    from.forEach(function (select, place) { to[place].selectedIndex = select.selectedIndex; });
    var areas = copy.querySelectorAll("textarea");
    entry.querySelectorAll("textarea").forEach(function (area, place) { areas[place].value = area.value; });
    copy.querySelectorAll(".taken").forEach(function (note) { note.remove(); });
    rename(copy, before, after);
    named(copy, box.dataset.list, token);
    /* A copy of what the file does not have yet gets an id from its title; any other when it is written. */
    var id = copy.querySelector("[name='" + after + ".id']");
    if (id && token.charAt(0) === "+") { id.value = ""; }
    entry.after(copy);
    copy.querySelector("details").open = true;
    renumber(box);
    copy.querySelector("summary").focus();
    changed(form, called(box, entry) + " is doubled. Nothing is written yet.");
  }

  function move(form, entry, by, button) {
    var box = boxOf(entry), all = entries(listOf(box)), other = all[all.indexOf(entry) + by], was = called(box, entry);
    if (!other) {
      changed(form, was + (by < 0 ? " is the first." : " is the last."));
      return;
    }
    if (by < 0) { other.before(entry); } else { other.after(entry); }
    renumber(box);
    button.focus();
    changed(form, was + " is now " + called(box, entry) + ".");
  }

  function remove(form, entry) {
    var box = boxOf(entry), was = called(box, entry), all = entries(listOf(box)), place = all.indexOf(entry);
    var note = document.createElement("li"), back = document.createElement("button");
    note.className = "taken";
    note.append(was + " is taken out. It stands in the book until you write it.");
    back.type = "button";
    back.textContent = "Bring it back";
    back.addEventListener("click", function () {
      note.replaceWith(entry);
      renumber(box);
      entry.querySelector("summary").focus();
      changed(form, called(box, entry) + " is back.");
    });
    note.append(back);
    entry.replaceWith(note);
    renumber(box);
    var next = all[place + 1] || all[place - 1];
    (next ? next.querySelector("summary") : back).focus();
    changed(form, was + " is taken out. Nothing is written yet.");
  }

  function more(form, box) {
    var fields = box.querySelectorAll("input:not([type='hidden']), select, textarea"), last = fields[fields.length - 1];
    var field = /** @type {Part} */ (last.cloneNode(true)), count = fields.length + 1;
    field.value = "";
    field.id = field.id.replace(/\d+$/, String(count));
    field.setAttribute("aria-label", String(field.getAttribute("aria-label")).replace(/\d+$/, String(count)));
    last.after(field);
    field.focus();
    form.dispatchEvent(new Event("input", { bubbles: true }));
  }

  /* Does what a button says; whether it could be done here. */
  function deed(form, button) {
    var word = button.value.split(" ")[0], entry = button.closest("[data-entry]");
    switch (word) {
      case "add": return add(form, button.closest("[data-list]"));
      case "more": more(form, button.closest("[data-many]")); return true;
      case "double": double(form, entry); return true;
      case "up": move(form, entry, -1, button); return true;
      case "down": move(form, entry, 1, button); return true;
      case "remove": remove(form, entry); return true;
    }
    return false;
  }

  /* A handle for every entry: for a pointer alone, since the buttons do the same for all others. */
  function dress(root) {
    root.querySelectorAll(".deeds").forEach(function (deeds) {
      if (deeds.querySelector(".handle")) { return; }
      var handle = document.createElement("span");
      handle.className = "handle";
      handle.title = "Drag to move";
      handle.setAttribute("aria-hidden", "true");
      handle.textContent = "\u2261";
      deeds.prepend(handle);
    });
  }

  /* The others step aside around what is dragged: it keeps its place in the page, so that the pointer keeps hold of it. */
  function drag(event) {
    if (!dragged) { return; }
    event.preventDefault();
    var all = entries(dragged.parentNode), place = all.indexOf(dragged);
    var before = all[place - 1], after = all[place + 1], at = event.clientY;
    if (before && at < middle(before)) { dragged.after(before); } else if (after && at > middle(after)) { dragged.before(after); }
    if (at < 60) { window.scrollBy(0, -14); } else if (at > window.innerHeight - 120) { window.scrollBy(0, 14); }
  }

  function middle(entry) {
    var box = entry.getBoundingClientRect();
    return box.top + Math.min(box.height, window.innerHeight) / 2;
  }

  function start(form) {
    dress(form);
    form.addEventListener("pointerdown", function (event) {
      var handle = event.target.closest(".handle");
      if (!handle || event.button) { return; }
      event.preventDefault();
      var entry = handle.closest("[data-entry]");
      dragged = entry;
      entry.classList.add("dragged");
      entry.dataset.was = called(boxOf(entry), entry);
    });
    window.addEventListener("pointermove", drag, { passive: false });
    ["pointerup", "pointercancel"].forEach(function (name) {
      window.addEventListener(name, function () {
        if (!dragged) { return; }
        var entry = dragged, box = boxOf(entry), was = entry.dataset.was;
        dragged = null;
        entry.classList.remove("dragged");
        delete entry.dataset.was;
        renumber(box);
        changed(form, was + " is now " + called(box, entry) + ".");
      });
    });
  }

  window.mothermoldDeskLists = { start: start, dress: dress, deed: deed };
})();
