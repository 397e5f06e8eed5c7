/* Keeping the book on the device: asks for the worker that does it, says how far it is, and lets go of it again. Only where
   the site is served safely. From a folder there is nothing to keep. Without scripts nothing here shows. */
(function () {
  "use strict";
  var home = new URL(document.body.dataset.root || "./", window.location.href);
  var mine = "mothermold " + home.pathname + " ", choice = "mothermold keeps " + home.pathname;
  var news = document.querySelector(".news"), row = document.querySelector(".keeping");
  var said = row.querySelector("span"), button = row.querySelector("button");
  var workers = navigator.serviceWorker, script = new URL("worker.js", home).href, ours = false;

  function say(text, label, act) {
    said.textContent = text;
    button.textContent = label || "";
    button.hidden = !label;
    button.onclick = act || null;
    row.hidden = false;
  }

  function wanted() {
    try { return window.localStorage.getItem(choice) !== "no"; } catch (refused) { return true; }
  }

  function choose(keeps) {
    try {
      if (keeps) { window.localStorage.removeItem(choice); } else { window.localStorage.setItem(choice, "no"); }
    } catch (refused) { /* for this page only */ }
  }

  /* The registration of this very site: a site that lies around it may answer for this page too. */
  function registered() {
    return workers.getRegistration(home.href).then(function (found) {
      return found && found.scope === home.href ? found : null;
    });
  }

  /* The registration goes first, or its worker could keep something again. */
  function forget() {
    return registered().then(function (found) {
      return found && found.unregister();
    }).then(function () {
      return window.caches.keys();
    }).then(function (names) {
      return Promise.all(names.filter(function (name) {
        return name.indexOf(mine) === 0;
      }).map(function (name) {
        return window.caches.delete(name);
      }));
    });
  }

  function asked() {
    choose(false);
    forget().then(function () {
      ours = false;
      say("Not kept on this device, as you asked.", "Keep it on this device", function () {
        choose(true);
        begin();
      });
    });
  }

  /* Somebody may be in the middle of a step: nothing is loaded anew but by a tap. */
  function changed(act) {
    if (news.firstChild) { news.firstChild.onclick = act; return; }
    var tap = document.createElement("button");
    tap.type = "button";
    tap.textContent = "The book has changed. Tap to update.";
    tap.onclick = act;
    news.appendChild(tap);
  }

  function reload() { window.location.reload(); }

  function update(found) {
    changed(function () {
      workers.addEventListener("controllerchange", reload);
      if (found.waiting) { found.waiting.postMessage("take over"); } else { reload(); }
    });
  }

  var broken = "Not kept on this device: loading it did not finish. The next page tries again.";

  /* Asked for the name of its cache, a worker first fills it where somebody emptied it. */
  function count(worker) {
    var channel = new MessageChannel();
    channel.port1.onmessage = function (event) {
      if (!event.data) { say(broken); return; }
      window.caches.open(event.data).then(function (cache) { return cache.keys(); }).then(function (kept) {
        var pages = kept.filter(function (request) { return /\.html$/.test(new URL(request.url).pathname); }).length;
        say("Kept on this device, " + pages + (pages === 1 ? " page." : " pages."), "Forget what this device keeps", asked);
      });
    };
    worker.postMessage("which", [channel.port2]);
  }

  function follow(worker, found, first) {
    worker.addEventListener("statechange", function () {
      if (worker.state === "installed" && !first) { update(found); }
      if (worker.state === "activated") {
        registered().then(function (still) { if (still) { count(worker); } else { row.hidden = true; } });
      }
      if (worker.state === "redundant" && first && wanted()) { say(broken); }
    });
  }

  /* A site that is gone for good must not live on here. A bad line or a login in between says nothing about that. */
  function gone() {
    return fetch(script, { cache: "no-store", redirect: "manual" }).then(function (answer) {
      if (answer.status !== 404 && answer.status !== 410) { return null; }
      return forget().then(function () { say("Not kept on this device: the site no longer offers it."); });
    }).catch(function () { return null; });
  }

  /* A worker that takes over from another has changed the book under this page; the first one has not. */
  function watch() {
    ours = Boolean(workers.controller && workers.controller.scriptURL === script);
    workers.addEventListener("controllerchange", function () {
      if (ours) { changed(reload); }
      ours = true;
    });
  }

  function begin() {
    return registered().then(function (old) {
      if (news.firstChild) {
        /* Another build took over, or called back what was kept: this page is of before, and asks for nothing more. */
        if (old && old.active) { count(old.active); }
        return null;
      }
      return workers.register(script, { scope: home.pathname, updateViaCache: "none" })
        .then(function (found) {
          var first = !found.active;
          if (found.active) { count(found.active); }
          if (found.waiting && found.active) { update(found); }
          if (found.installing) {
            if (first) { say("Being kept on this device ..."); }
            follow(found.installing, found, first);
          }
          found.addEventListener("updatefound", function () {
            if (found.installing) { follow(found.installing, found, !found.active); }
          });
          /* A browser looks by itself only now and then. */
          return old && window.navigator.onLine ? found.update() : null;
        });
    }).catch(gone);
  }

  /* The page that stands for a missing one names it behind the mark; only an address within this site is taken. */
  function again() {
    var line = document.querySelector(".again"), address = window.location.hash.slice(1);
    if (!line || !/^[\w@%-][\w@%./-]*$/.test(address) || address.indexOf("..") >= 0) { return; }
    line.querySelector("a").href = new URL("./" + address, home).href;
    line.hidden = false;
  }

  again();
  if (!/^https?:$/.test(window.location.protocol)) { return; }
  if (!document.body.hasAttribute("data-keeps")) {
    if (workers && window.caches) { forget().catch(function () { /* nothing was kept */ }); }
    return;
  }
  if (!window.isSecureContext) {
    say("Not kept on this device (needs https).");
  } else if (!workers || !window.caches) {
    say("Not kept on this device (this browser, or a private window, does not offer it).");
  } else {
    watch();
    if (!wanted()) {
      say("Not kept on this device, as you asked.", "Keep it on this device", function () { choose(true); begin(); });
    } else if (document.readyState === "complete") {
      begin();
    } else {
      /* What the reader waits for comes first. */
      window.addEventListener("load", begin);
    }
  }
})();
