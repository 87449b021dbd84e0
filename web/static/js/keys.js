/* Keys that work on every desk, and the sentence about what went wrong. An element says its key in
   data-key; no key is a single letter. */
"use strict";
(function () {
  const named = (event) => (event.ctrlKey || event.metaKey ? "Ctrl+" : "") + event.key;

  document.addEventListener("keydown", function (event) {
    if (event.altKey || event.shiftKey || event.repeat) return;
    const key = named(event);
    if (!/^(Ctrl\+Enter|Ctrl\+z|Escape|F\d+)$/.test(key)) return;
    /* Where somebody types, Ctrl Z takes back what was typed. */
    if (key === "Ctrl+z" && event.target.matches("input, textarea")) return;
    if (event.target.closest && event.target.closest("select") && key === "Escape") return;
    const target = document.querySelector('[data-key="' + key + '"]');
    if (!target) return;
    event.preventDefault();
    /* What was heard is often typed anew; other fields are gone on with. */
    if (target.matches("input")) { target.focus(); if (key === "Escape") target.select(); }
    else if (target.matches("select")) target.focus();
    else target.click();
  });

  document.addEventListener("htmx:afterRequest", function (event) {
    if (!event.detail.xhr || event.detail.xhr.status === 0) return;
    /* A sentence about an earlier mistake goes once something worked. */
    const place = document.getElementById("problem");
    const signedOut = place.querySelector('[data-status="401"]');
    if (event.detail.successful && (event.detail.requestConfig.verb === "post" || signedOut)) {
      place.replaceChildren();
    }
  });
  /* A page that asks again and again is refused again and again: it is said once. */
  document.addEventListener("htmx:beforeSwap", function (event) {
    if (!event.detail.isError) return;
    const status = document.querySelector("#problem [data-status]");
    const same = status && status.dataset.status === String(event.detail.xhr.status);
    if (same && event.detail.requestConfig.verb === "get") event.detail.shouldSwap = false;
  });
})();
