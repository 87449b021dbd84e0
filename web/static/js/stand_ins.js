/* The stand-ins' panel of the phone desk: what the caller can say is asked again at once, and the
   points of the picture lead to their lines. */
"use strict";
(function () {
  const heardForm = document.getElementById("heard-form");
  const answer = document.getElementById("answer");
  if (!heardForm || !answer) return;
  const kept = new Map();  /* what stands in a field while an answer comes that replaces it */
  let goToList = false;

  function ask() { window.htmx.trigger(heardForm, "ask"); }
  function fields() { return Array.from(answer.querySelectorAll("[data-said-of-it] [id]")); }

  answer.addEventListener("change", function (event) {
    const field = event.target;
    if (!field.closest("[data-said-of-it]")) return;
    const onSlip = field.dataset.onSlip && document.getElementById(field.dataset.onSlip);
    if (!onSlip) { ask(); return; }
    onSlip.value = field.value;
    onSlip.dispatchEvent(new Event("input", { bubbles: true }));
    kept.set(field.id, field.value);
  });

  /* The occasion is kept with the slip: once that is done, the list goes by it. */
  document.addEventListener("htmx:afterRequest", function (event) {
    const config = event.detail.requestConfig;
    if (!config || !config.path.endsWith("/details") || !event.detail.successful) return;
    const slips = document.getElementById("occasion");
    if (!slips || slips.value === (answer.dataset.occasion || "")) return;
    answer.dataset.occasion = slips.value;
    if (answer.querySelector("#list")) ask();
  });
  const first = document.getElementById("occasion");
  answer.dataset.occasion = first ? first.value : "";

  answer.addEventListener("keydown", function (event) {
    const plain = !event.ctrlKey && !event.metaKey && !event.altKey && !event.shiftKey;
    const point = event.target.closest("a.point");
    if (plain && event.key === "Enter" && event.target.matches("[data-said-of-it] input")) {
      event.preventDefault();
      goToList = true;
      ask();
    } else if (point && plain) {
      const all = Array.from(answer.querySelectorAll("a.point"));
      const step = { ArrowRight: 1, ArrowDown: 1, ArrowLeft: -1, ArrowUp: -1 }[event.key];
      if (event.key === "Enter" || event.key === " ") { event.preventDefault(); toRow(point); }
      else if (step) {
        event.preventDefault();
        all[(all.indexOf(point) + step + all.length) % all.length].focus();
      }
    }
  });

  answer.addEventListener("click", function (event) {
    const point = event.target.closest("a.point");
    if (point) { event.preventDefault(); toRow(point); }
  });

  /* A point only leads to its line: what is put on the slip is taken from the list. */
  function toRow(point) {
    const number = point.dataset.toRow;
    const row = number
      ? answer.querySelector("button.row[data-row=\"" + number + "\"]")
      : answer.querySelector("button.row");
    if (row) row.focus();
  }

  document.addEventListener("htmx:beforeSwap", function (event) {
    if (event.detail.target !== answer) return;
    kept.clear();
    const sent = event.detail.requestConfig.parameters;
    for (const field of fields()) {
      const was = field.name && sent.has && sent.has(field.name) ? sent.get(field.name) : null;
      if (was !== null && was !== field.value) kept.set(field.id, field.value);
    }
  });
  document.addEventListener("htmx:afterSwap", function (event) {
    if (event.detail.target !== answer) return;
    for (const field of fields()) {
      if (kept.has(field.id)) field.value = kept.get(field.id);
    }
    kept.clear();
    if (goToList) {
      goToList = false;
      const row = answer.querySelector("button.row");
      if (row) row.focus();
    }
  });
})();
