/* A photo over the page, as large as it goes. Without scripts the link opens it by itself. Back, Esc and the button close it; where
   the way back is, is written down in the browser's history once, so that Back never leaves the page by accident. */
(function () {
  "use strict";
  var MARK = "mothermold-larger";
  /** @type {HTMLDialogElement | null} */
  var dialog = null;

  function build() {
    var made = document.createElement("dialog"), close = document.createElement("button"), image = document.createElement("img");
    made.className = "seen-large";
    close.type = "button";
    close.textContent = "Close";
    close.addEventListener("click", function () { made.close(); });
    made.append(close, image, document.createElement("p"));
    /* However it was closed: the entry in the history that stood for it goes. */
    made.addEventListener("close", function () {
      if (window.history.state === MARK) { window.history.back(); }
    });
    document.body.appendChild(made);
    return made;
  }

  document.addEventListener("click", function (event) {
    var link = /** @type {Part} */ (event.target).closest("a.larger");
    /* Whoever wants it in a tab of its own gets it there. */
    if (!link || event.defaultPrevented || event.button || event.ctrlKey || event.metaKey || event.shiftKey || event.altKey) { return; }
    if (typeof HTMLDialogElement === "undefined") { return; }
    event.preventDefault();
    dialog = dialog || build();
    var image = dialog.querySelector("img"), words = link.querySelector("img").getAttribute("alt") || "", said = link.closest("figure").querySelector("figcaption");
    image.setAttribute("src", link.href);
    image.setAttribute("alt", words);
    dialog.querySelector("p").replaceChildren.apply(dialog.querySelector("p"), Array.from(said.cloneNode(true).childNodes));
    dialog.setAttribute("aria-label", words);
    dialog.showModal();
    window.history.pushState(MARK, "");
  });

  window.addEventListener("popstate", function () {
    if (dialog && dialog.open && window.history.state !== MARK) { dialog.close(); }
  });
})();
