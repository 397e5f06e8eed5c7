/* How a run leaves the device: as a file, shared, or to the computer that serves the page. What became of it is handed back in words. */
(function () {
  "use strict";
  var doc = window.mothermoldRun;

  function asFile(run, zone) { return new File([doc.yaml(run, zone)], run.id + ".yaml.txt", { type: "text/plain" }); }

  /** Hands a text to the device as a file. @type {Deliver["download"]} */
  function download(name, kind, text) {
    var link = document.createElement("a"), address = URL.createObjectURL(new Blob([text], { type: kind }));
    link.href = address;
    link.download = name;
    document.body.appendChild(link);
    link.click();
    link.remove();
    window.setTimeout(function () { URL.revokeObjectURL(address); }, 10000);
  }

  /** The ways there are, the best last. The computer's own door says that it is there by a mark only its pages carry. @type {Deliver["ways"]} */
  function ways(run, zone, home) {
    var found = [{ deed: "save-file", words: "Save the file", main: false }], file = asFile(run, zone);
    if (navigator.canShare && navigator.canShare({ files: [file] })) { found.push({ deed: "share", words: "Share it", main: false }); }
    if (home !== undefined && /(?:^|; )mothermold-inbox=/.test(document.cookie)) { found.push({ deed: "send", words: "To the computer", main: true }); }
    return found;
  }

  /** One of the ways; `ok` where the run is out of the device. @type {Deliver["by"]} */
  function by(deed, run, zone, home) {
    if (deed === "save-file") {
      download(run.id + ".yaml", "text/yaml", doc.yaml(run, zone));
      return Promise.resolve({ ok: true, words: "Saved as " + run.id + ".yaml." });
    }
    if (deed === "share") {
      return navigator.share({ files: [asFile(run, zone)], title: run.id })
        .then(function () { return { ok: true, words: "Shared." }; }, function () { return { ok: false, words: "Not shared." }; });
    }
    return window.fetch(home + "inbox", {
      method: "POST", headers: { "Content-Type": "text/yaml; charset=utf-8", "X-Mothermold": "run" }, body: doc.yaml(run, zone)
    }).then(function (answer) {
      return answer.json().then(function (told) {
        return { ok: answer.ok, words: answer.ok ? "On the computer now." : told.message || "The computer refused it. Save the file instead." };
      });
    }).catch(function () { return { ok: false, words: "The computer is not answering. The run stays here; save the file, or try again." }; });
  }

  window.mothermoldDeliver = { ways: ways, by: by, download: download };
})();
