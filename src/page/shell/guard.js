// Old on purpose, so that every browser can read it: a browser that cannot run the page, or a page that was cut off, is told of.
(function () {
  function show() {
    var place = document.getElementById("too-old");
    if (place && !window.kerfmark) { place.removeAttribute("hidden"); place.hidden = false; }
  }
  window.onerror = show;
  window.onload = function () { setTimeout(show, "noModule" in document.createElement("script") ? 8000 : 0); };
})();
