/* Keeps a page that is open in the browser as the book is: asks every second whether anything was made again, and if so whether
   this page became another. `mothermold serve` puts it into the pages it shows to the book's owner, and nobody else has it. */
(function () {
  "use strict";
  var own = document.currentScript;
  var mark = "\"" + (own ? own.dataset.mark : "") + "\"", turn = "", failed = 0;
  var strip = document.createElement("p");
  strip.className = "notice warning";
  strip.setAttribute("role", "status");

  /* What shows no longer follows the book, and nobody could see that by looking at it. */
  function say(words) {
    strip.textContent = words;
    if (words && !strip.parentNode) { document.body.prepend(strip); }
    if (!words) { strip.remove(); }
  }

  function compare(now) {
    return window.fetch(window.location.pathname, { method: "HEAD", cache: "no-store" }).then(function (page) {
      if ((page.ok || page.status === 404) && page.headers.get("ETag") !== mark) {
        window.location.reload();
      } else {
        turn = now;
      }
    });
  }

  function look() {
    window.fetch("/follow", { cache: "no-store" }).then(function (answer) {
      failed = 0;
      if (!answer.ok) {
        say("This page no longer follows the book: open the address that stands in the terminal now.");
        return null;
      }
      say("");
      return answer.text().then(function (now) { return now === turn ? null : compare(now); });
    }).catch(function () {
      failed += 1;
      if (failed > 1) { say("This page no longer follows the book: `mothermold serve` was stopped."); }
    }).then(function () {
      window.setTimeout(look, 1000);
    });
  }

  look();
})();
