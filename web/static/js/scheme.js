/* The scheme of this browser: day or studio (dark). Runs before the page is painted. */
"use strict";
(function () {
  const root = document.documentElement;
  let kept = null;
  try { kept = localStorage.getItem("scheme"); } catch (_) { /* storage may be shut off */ }
  const dark = window.matchMedia("(prefers-color-scheme: dark)").matches;
  const first = root.dataset.desk === "studio" || dark ? "studio" : "day";
  root.dataset.scheme = kept === "day" || kept === "studio" ? kept : first;

  document.addEventListener("DOMContentLoaded", function () {
    const button = document.getElementById("scheme");
    if (!button) return;
    const say = () => {
      button.textContent = root.dataset.scheme === "day" ? button.dataset.studio : button.dataset.day;
    };
    say();
    button.addEventListener("click", function () {
      root.dataset.scheme = root.dataset.scheme === "day" ? "studio" : "day";
      try { localStorage.setItem("scheme", root.dataset.scheme); } catch (_) { /* not kept */ }
      say();
    });
  });
})();
