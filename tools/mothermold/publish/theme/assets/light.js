/* The light a reader chose, set before anything is drawn. Without scripts the device decides. */
(function () {
  "use strict";
  var sheets = { dark: document.getElementById("dark"), glare: document.getElementById("glare") };
  var asked = { dark: sheets.dark.media, glare: sheets.glare.media };
  function set(light) {
    Object.keys(sheets).forEach(function (name) {
      sheets[name].media = !light ? asked[name] : name === light ? "screen" : "not all";
    });
  }
  var kept = "";
  try { kept = window.localStorage.getItem("light") || ""; } catch (refused) { /* as the device decides */ }
  if (["day", "dark", "glare"].indexOf(kept) >= 0) { set(kept); } else { kept = ""; }
  window.mothermoldLight = {
    now: kept,
    set: function (light) {
      set(light);
      window.mothermoldLight.now = light;
      try { window.localStorage.setItem("light", light); } catch (refused) { /* chosen for this page only */ }
    }
  };
})();
