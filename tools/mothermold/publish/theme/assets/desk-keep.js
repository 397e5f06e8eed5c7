/* What is typed at the desk, or on a phone for the inbox, stays in this browser until it is there: by the book and the address of the
   page, with what the form was made of. The page that says it is written, or sent, lets it go. */
(function () {
  "use strict";
  var failed = false;

  function key(book, address) { return "mothermold desk " + book + " " + address; }

  /* What was kept: when, of which text, and all that a form sends; null where there is nothing that can be read. */
  function read(book, address) {
    var found;
    try { found = JSON.parse(window.localStorage.getItem(key(book, address)) || "null"); } catch (no) { return null; }
    var whole = found && typeof found.at === "number" && typeof found.digest === "string" && Array.isArray(found.pairs) &&
      found.pairs.every(function (pair) { return Array.isArray(pair) && pair.length === 2 && pair.every(function (each) { return typeof each === "string"; }); });
    return whole ? found : null;
  }

  /* Whether it is kept now. */
  function write(book, address, draft) {
    try {
      window.localStorage.setItem(key(book, address), JSON.stringify(draft));
      failed = false;
    } catch (no) { failed = true; }
    return !failed;
  }

  function drop(book, address) {
    try { window.localStorage.removeItem(key(book, address)); } catch (no) { /* Nothing can be kept, so nothing is. */ }
    failed = false;
  }

  /* What was written is let go of in every book this browser knows here: the address alone says which page sent it, as fields or as text. */
  function dropAll(address) {
    try {
      Object.keys(window.localStorage).filter(function (each) {
        var page = each.split(" ").slice(3).join(" ");
        return each.indexOf("mothermold desk ") === 0 && (page === address || page === address + " as text");
      }).forEach(function (each) { window.localStorage.removeItem(each); });
    } catch (no) { /* the same */ }
  }

  window.mothermoldDesk = { read: read, write: write, drop: drop, failed: function () { return failed; } };

  var written = document.querySelector("[data-written]");
  if (written) { dropAll(written.dataset.written); }
  var from = /\/(desk\/done|send\/sent)$/.test(window.location.pathname) && new URLSearchParams(window.location.search).get("from");
  if (from) { dropAll(from); }
})();
