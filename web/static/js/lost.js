/* Whether the page is up to date. A page that asks for changes says so as soon as it gets no answer
   or only an error, or has heard nothing for a while (a cable pulled out gives no error at all),
   and takes it back with the first answer. It goes on asking by itself; nobody reloads. */
"use strict";
(function () {
  const SILENT_MS = 5000;   /* longer than any asking takes, shorter than a presenter's patience */
  const LOOK_MS = 1000;
  const place = document.getElementById("lost");
  const asking = () => document.querySelector("[data-asks]");
  let heardAt = performance.now();
  let heardClock = new Date();

  function tell() {
    if (place.firstChild) return;
    const words = document.createElement("p");
    words.className = "problem";
    const at = heardClock.toLocaleTimeString(document.documentElement.lang, { hour: "2-digit", minute: "2-digit", hourCycle: "h23" });
    words.textContent = place.dataset.words.replace("{at}", at);
    place.append(words);
  }
  function heard() {
    heardAt = performance.now();
    heardClock = new Date();
    if (!place.firstChild) return;
    place.replaceChildren();
    /* What was typed meanwhile is sent now. */
    document.dispatchEvent(new CustomEvent("asheard:back"));
  }
  const asked = (event) => event.detail.elt && event.detail.elt.matches && event.detail.elt.matches("[data-asks]");

  document.addEventListener("htmx:sendError", tell);
  document.addEventListener("htmx:timeout", tell);
  document.addEventListener("htmx:afterRequest", function (event) {
    const status = event.detail.xhr ? event.detail.xhr.status : 0;
    if (status === 0) return;
    if (status < 500) heard();
    else if (asked(event)) tell();
  });
  /* A page that was asleep or behind others asks at once, and is not blamed for its sleep. */
  let lookedAt = performance.now();
  function askNow() {
    const element = asking();
    heardAt = performance.now();
    if (element && window.htmx) window.htmx.trigger(element, "asheard:ask");
  }
  document.addEventListener("visibilitychange", () => { if (!document.hidden) askNow(); });
  window.addEventListener("online", askNow);
  setInterval(function () {
    const slept = performance.now() - lookedAt > SILENT_MS;
    lookedAt = performance.now();
    if (!asking() || document.hidden) return;
    if (slept) askNow();
    else if (performance.now() - heardAt > SILENT_MS) tell();
  }, LOOK_MS);
})();
