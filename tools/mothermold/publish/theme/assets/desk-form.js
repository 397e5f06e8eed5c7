/* A form of the desk: what is typed stays in this browser until the book has it, and comes back; lists change at once; and what a
   recipe's change makes is looked up after a pause. Without it the form is sent as it is, and the server does the same. */
(function () {
  "use strict";
  var form = document.querySelector("form.desk[data-desk]"), desk = window.mothermoldDesk, lists = window.mothermoldDeskLists;
  if (!form) { return; }
  var book = form.dataset.book, address = form.dataset.desk, back = document.querySelector(".desk-back");
  var sends = form.dataset.sends !== undefined, KEPT = "Kept in this browser until it is " + (sends ? "sent." : "written.");
  var opened = "", looked = "", waiting = 0, looking = 0, turns = 0, leaving = false, PAUSE = 400, LOOKS = 1200;

  /* All that the form would send, without what is good for one sending, and without photos. */
  function pairs() {
    return Array.from(new FormData(/** @type {HTMLFormElement} */ (/** @type {unknown} */ (form))).entries()).filter(function (pair) {
      return pair[0].charAt(0) !== "-" && typeof pair[1] === "string" && !/^_photo\.\d+\.(kept|name)$/.test(pair[0]);
    }).map(function (pair) { return [pair[0], String(pair[1])]; });
  }

  function keep() {
    window.clearTimeout(waiting);
    waiting = 0;
    var now = pairs();
    if (JSON.stringify(now) === opened) { desk.drop(book, address); told(""); return; }
    var done = desk.write(book, address, { at: Date.now(), digest: form.dataset.digest, pairs: now });
    told(done ? KEPT : "This browser keeps nothing: " + (sends ? "send" : "write") + " it before you leave.");
  }

  /* After a pause: what the change of a recipe makes. Only the newest answer counts. */
  function look() {
    var place = document.getElementById("ahead"), turn = ++turns;
    if (!place || JSON.stringify(pairs()) === looked) { return; }
    looked = JSON.stringify(pairs());
    asked(pairs(), "look").then(function (answer) {
      var found = answer.page.querySelector("#ahead"), link = form.querySelector(".ahead-link");
      if (turn !== turns || !answer.ok || !found) { return; }
      place.hidden = link.hidden = false;
      place.closest(".desk-two").classList.add("looked");
      place.querySelector(".ahead-news").textContent = found.querySelector(".ahead-news").textContent;
      place.querySelector(".ahead-body").replaceChildren.apply(place.querySelector(".ahead-body"), Array.from(found.querySelector(".ahead-body").childNodes));
    }).catch(function () { looked = ""; });
  }

  function told(words) {
    var place = form.querySelector(".desk-kept");
    if (place && place.textContent !== words) { place.textContent = words; }
  }

  function soon() {
    window.clearTimeout(waiting);
    waiting = window.setTimeout(keep, PAUSE);
    window.clearTimeout(looking);
    looking = window.setTimeout(look, LOOKS);
  }

  function clock(at) {
    var then = new Date(at), two = function (part) { return String(part).padStart(2, "0"); };
    var day = then.toDateString() === new Date().toDateString() ? "" : then.getFullYear() + "-" + two(then.getMonth() + 1) + "-" + two(then.getDate()) + " ";
    return day + two(then.getHours()) + ":" + two(then.getMinutes());
  }

  /* Asks the server for the page with what was typed; its seal is this page's. */
  function asked(typed, press) {
    var body = new URLSearchParams();
    form.querySelectorAll("input[name^='-']").forEach(function (field) { body.append(field.name, field.value); });
    typed.concat([["_do", press]]).forEach(function (pair) { body.append(pair[0], pair[1]); });
    return window.fetch(String(form.getAttribute("action")), { method: "POST", body: body, headers: { "Content-Type": "application/x-www-form-urlencoded" } })
      .then(function (answer) { return answer.text().then(function (text) { return { ok: answer.ok, page: new DOMParser().parseFromString(text, "text/html") }; }); });
  }

  function line(words, buttons) {
    back.hidden = false;
    back.querySelector("p").textContent = words;
    back.querySelectorAll("button").forEach(function (button) { button.remove(); });
    Object.keys(buttons).forEach(function (name) {
      var button = document.createElement("button");
      button.type = "button";
      button.textContent = name;
      button.addEventListener("click", buttons[name]);
      back.append(button);
    });
  }

  function drop() {
    leaving = true;
    window.clearTimeout(waiting);
    desk.drop(book, address);
    window.location.replace(window.location.href.split("#")[0]);
  }

  /* What was typed takes the place of what stands in the form, entries and all. */
  function bringBack(draft) {
    var typed = draft.pairs.filter(function (pair) { return pair[0] !== "_do"; });
    return asked(typed, "again").then(function (answer) {
      var other = /** @type {Part | null} */ (answer.page.querySelector("form.desk[data-desk]"));
      if (!answer.ok || !other) { throw new Error("no form"); }
      form.replaceChildren.apply(form, Array.from(other.childNodes));
      form.dataset.digest = other.dataset.digest;
      lists.dress(form);
      line("What you typed at " + clock(draft.at) + " is back.", { "Drop it": drop });
      told(KEPT);
    }).catch(function () {
      line("What you typed at " + clock(draft.at) + " is kept in this browser, and could not be put back now. Open the page again.", { "Drop it": drop });
    });
  }

  function begin() {
    var draft = desk.read(book, address);
    if (form.dataset.began === "typed") { keep(); return; }
    opened = JSON.stringify(pairs());
    if (!draft || JSON.stringify(draft.pairs) === opened) { return; }
    if (draft.digest === form.dataset.digest && form.dataset.began === "opened") { bringBack(draft); return; }
    line(
      "You typed here at " + clock(draft.at) + (draft.digest === form.dataset.digest ? "." : ", and the file was changed since."),
      { "Bring it back": function () { bringBack(draft); }, "Drop it": drop }
    );
  }

  /* What lies behind a fold is opened by whoever is led there. */
  function unfold(place) {
    for (var each = place; each; each = each.parentElement) {
      if (each.tagName === "DETAILS") { each.open = true; }
    }
  }

  function ledTo(name) {
    var place = name && document.getElementById(decodeURIComponent(name));
    if (!place || !(form.contains(place) || place.id === "ahead")) { return; }
    unfold(place);
    if (place.tagName === "DETAILS") { place.querySelector("summary").focus(); } else { place.focus(); }
  }

  document.addEventListener("click", function (event) {
    var link = /** @type {Part} */ (event.target).closest("a[href^='#']");
    if (link) { window.setTimeout(function () { ledTo(String(link.getAttribute("href")).slice(1)); }, 0); }
  });

  form.addEventListener("click", function (event) {
    var button = /** @type {Part} */ (event.target).closest("button[name='_do']");
    if (button && lists.deed(form, button)) { event.preventDefault(); }
  });

  /* Enter in a field goes on to the next one; a form is written by its button. */
  form.addEventListener("submit", function (event) {
    var pressed = /** @type {SubmitEvent} */ (event).submitter, here = /** @type {Part} */ (document.activeElement);
    if (pressed && pressed.matches(".first-button") && form.contains(here)) {
      event.preventDefault();
      var fields = Array.from(form.querySelectorAll("input:not([type='hidden']), select, textarea")).filter(function (each) { return each.checkVisibility(); });
      var next = fields[fields.indexOf(here) + 1];
      if (next) { next.focus(); }
      return;
    }
    // All of it goes on to another form, which keeps it under its own address.
    if (pressed && pressed.getAttribute("value") === "more") {
      window.clearTimeout(waiting);
      waiting = 0;
      leaving = true;
      desk.drop(book, address);
      return;
    }
    keep();
    leaving = true;
  });

  /* A long text grows where the browser does not see to that itself. */
  function grow(area) {
    while (area.scrollHeight > area.clientHeight + 4 && area.rows < 24) { area.rows += 1; }
  }

  form.addEventListener("input", soon);
  if (!window.CSS.supports("field-sizing", "content")) {
    form.addEventListener("input", function (event) {
      var area = /** @type {Part} */ (event.target);
      if (area.tagName === "TEXTAREA") { grow(area); }
    });
  }
  form.addEventListener("change", soon);
  window.addEventListener("pagehide", function () { if (waiting) { keep(); } });
  /* Only where the browser could not keep it is somebody held up who leaves. */
  window.addEventListener("beforeunload", function (event) {
    if (waiting && !leaving) { keep(); }
    if (!leaving && desk.failed()) { event.preventDefault(); }
  });

  lists.start(form);
  begin();
  ledTo(window.location.hash.slice(1));
})();
