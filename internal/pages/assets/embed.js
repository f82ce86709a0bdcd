// Tells the page around the card how tall it is. Nothing depends on it.
(function () {
  "use strict";
  function tell() {
    window.parent.postMessage({ type: "commensal.height", height: Math.ceil(document.documentElement.getBoundingClientRect().height) }, "*");
  }
  if (window.parent !== window) {
    window.addEventListener("load", tell);
    window.addEventListener("resize", tell);
  }
})();
