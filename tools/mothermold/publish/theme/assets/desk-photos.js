/* Photos in a form: each that is chosen gets a place of its own, with its picture and its words, and there is always a free one.
   Without it several of one choice share their words, and spare places stand behind a fold. */
document.querySelectorAll(".photos").forEach(function (/** @type {Part} */ box) {
  "use strict";
  if (!window.DataTransfer) { return; }
  var form = box.closest("form"), news = box.querySelector(".photo-news"), spare = box.querySelector(".spare");
  var fresh = /** @type {Part} */ (spare.querySelector(".photo-slot")).cloneNode(true);

  function slots() { return Array.from(box.querySelectorAll(":scope > .photo-slot")); }
  function inputs(slot) { return /** @type {HTMLInputElement[]} */ (/** @type {unknown} */ (Array.from(slot.querySelectorAll("input[type='file']")))); }
  function files(slot) { return inputs(slot).flatMap(function (each) { return Array.from(each.files || []); }); }
  function isFree(slot) { return !slot.querySelector(".photo-kept") && files(slot).length === 0; }

  /* A place under another number. */
  function numbered(slot, number) {
    var before = slot.dataset.photo, plain = new RegExp("^(_photo\\.|[pht]-)" + before + "(?=$|[.-])");
    [slot].concat(Array.from(slot.querySelectorAll("*"))).forEach(function (each) {
      ["id", "for", "name", "aria-describedby"].forEach(function (name) {
        var said = each.getAttribute(name);
        if (said && plain.test(said)) { each.setAttribute(name, said.replace(plain, "$1" + number)); }
      });
    });
    slot.dataset.photo = String(number);
    slot.querySelector("legend").firstChild.textContent = "Photo " + number;
    return slot;
  }

  function next() { return slots().reduce(function (most, each) { return Math.max(most, Number(each.dataset.photo)); }, 0) + 1; }

  function add() {
    var slot = numbered(/** @type {Part} */ (fresh.cloneNode(true)), next());
    spare.before(slot);
    return slot;
  }

  /* What was said of a place holds for those that came out of the same choice, until something else is said there. */
  function alike(from, to) {
    from.querySelectorAll("select, input[type='text']").forEach(function (field) {
      var other = to.querySelector("[name='" + field.name.replace(/^_photo\.\d+/, "_photo." + to.dataset.photo) + "']");
      if (other) { other.value = field.value; }
    });
  }

  function held(input, chosen) {
    var list = new DataTransfer();
    chosen.forEach(function (file) { list.items.add(file); });
    input.files = list.files;
  }

  function shown(slot) {
    var chosen = files(slot), old = slot.querySelector(".photo-kept:not(:has([type='hidden']))");
    if (old) { old.remove(); }
    if (chosen.length === 0) { return; }
    var place = document.createElement("p"), small = document.createElement("canvas"), out = document.createElement("button");
    place.className = "photo-kept";
    small.setAttribute("role", "img");
    small.setAttribute("aria-label", chosen[0].name);
    small.width = small.height = 0;
    /* A photo this browser cannot draw is one the computer can. */
    window.createImageBitmap(chosen[0], { resizeHeight: 200, resizeQuality: "medium" }).then(function (picture) {
      small.width = picture.width;
      small.height = picture.height;
      /** @type {CanvasRenderingContext2D} */ (small.getContext("2d")).drawImage(picture, 0, 0);
    }).catch(function () { small.replaceWith(document.createTextNode(chosen[0].name + " ")); });
    out.type = "button";
    out.textContent = "Leave it out";
    out.addEventListener("click", function () {
      inputs(slot).forEach(function (each) { held(each, []); });
      shown(slot);
      if (slots().filter(isFree).length > 1) { slot.remove(); }
      inputs(slots().filter(isFree)[0])[0].focus();
      weigh();
    });
    place.append(small, out);
    slot.querySelector("legend").after(place);
  }

  function told(words) {
    news.hidden = !words;
    news.textContent = words;
  }

  /* What would be refused for its length alone is said before it is sent. */
  function weigh() {
    var all = slots().flatMap(files);
    var bytes = all.reduce(function (sum, file) { return sum + file.size; }, 0), most = Number(box.dataset.bytes);
    var many = all.length + box.querySelectorAll("input[name$='.kept']").length > Number(box.dataset.most);
    told(many ? "More than " + box.dataset.most + " photos at once are not taken: leave some out for now."
      : bytes > most ? "These photos have " + Math.ceil(bytes / 1048576) + " MB together, and " + most / 1048576 + " MB are taken at once: leave some out for now." : "");
    return !news.hidden;
  }

  box.addEventListener("change", function (event) {
    var input = /** @type {HTMLInputElement} */ (/** @type {unknown} */ (event.target)), slot = /** @type {Part} */ (input.closest(".photo-slot"));
    if (input.type !== "file") { return; }
    var chosen = Array.from(input.files || []);
    if (chosen.length > 1) { held(input, chosen.slice(0, 1)); }
    inputs(slot).forEach(function (each) { if (each !== input) { held(each, []); } });
    shown(slot);
    chosen.slice(1).forEach(function (file) {
      var more = add();
      alike(slot, more);
      held(inputs(more)[0], [file]);
      shown(more);
    });
    if (!slots().some(isFree)) { add(); }
    weigh();
  });

  form.addEventListener("submit", function (event) {
    if (weigh()) {
      event.preventDefault();
      event.stopImmediatePropagation();
      news.scrollIntoView({ block: "center" });
    }
  }, true);

  spare.hidden = true;
  spare.querySelectorAll(".photo-slot").forEach(function (each) { each.remove(); });
});
