/* The studio's screen goes blank after a while untouched, since studios have windows. Whatever
   wakes it does nothing else: nobody plays a slip they could not see. */
"use strict";
(function () {
  const WAKING_MS = 400;   /* the click that ends the waking touch comes this soon */
  const blank = document.getElementById("blank");
  const minutes = blank ? Number(blank.dataset.minutes) : 0;
  if (!minutes) return;
  const count = document.getElementById("blank-count");
  let timer = 0;
  let wokeAt = -WAKING_MS;
  let before = null;

  function again() {
    clearTimeout(timer);
    timer = setTimeout(goBlank, minutes * 60000);
  }
  function goBlank() {
    before = document.activeElement;
    document.documentElement.classList.add("blanked");
    blank.hidden = false;
    tell();
    blank.focus();
  }
  function wake() {
    wokeAt = performance.now();
    document.documentElement.classList.remove("blanked");
    blank.hidden = true;
    if (before && before.isConnected) before.focus();
    again();
  }
  /* How many slips wait is no secret, and somebody should know. */
  function tell() {
    const there = document.getElementById("count");
    if (!blank.hidden && there && count.textContent !== there.textContent) {
      count.textContent = there.textContent;
    }
  }
  function swallow(event) {
    event.preventDefault();
    event.stopImmediatePropagation();
  }
  for (const kind of ["keydown", "pointerdown"]) {
    window.addEventListener(kind, function (event) {
      if (blank.hidden) { again(); return; }
      swallow(event);
      wake();
    }, true);
  }
  window.addEventListener("click", function (event) {
    if (performance.now() - wokeAt < WAKING_MS) swallow(event);
  }, true);
  document.addEventListener("htmx:afterRequest", tell);
  again();
})();
