/* What pages for typing discs share: a barcode reader types like a keyboard, only faster, and ends
   with Enter. Enter goes on to the next box; an Enter that a reader types never presses a button. */
"use strict";
window.asheardTyping = (function () {
  const READER_MS = 45;      /* between two keys of a reader; a hand takes longer */
  const ON_BUTTON_MS = 400;  /* after a character on a button: it was scanned, not pressed */
  let before = -1e9;

  document.addEventListener("keydown", function (event) {
    const since = performance.now() - before;
    const letter = event.key.length === 1 && !event.ctrlKey && !event.metaKey && !event.altKey;
    if (event.key === "Enter" && event.target.closest("button, a, summary")) {
      if (since < ON_BUTTON_MS) { event.preventDefault(); event.stopImmediatePropagation(); }
    }
    /* A space presses a button too; a reader types it in "C 114". */
    if (event.key === " " && event.target.closest("button, summary") && since < ON_BUTTON_MS) event.preventDefault();
    if (letter) before = performance.now();
  }, true);

  /* A tick is for the few: Enter passes over it, Tab reaches it. */
  const visible = (box) => box.type !== "hidden" && box.type !== "checkbox" && !box.disabled && box.getClientRects().length > 0;

  function digits(text) { return text.replace(/[\s-]/g, ""); }

  return {
    /* The next box of a form after this one that may be typed in, null after the last. */
    next(box, within) {
      const boxes = Array.from(within.querySelectorAll("input, select, textarea")).filter(visible);
      return boxes[boxes.indexOf(box) + 1] || null;
    },
    /* Twelve to fourteen digits in a box for words were scanned: they are the number. */
    isBarcode(text) { return /^\d{12,14}$/.test(digits(text)); },
    isQuick() { return performance.now() - before < READER_MS; },
    key() {
      return Array.from(crypto.getRandomValues(new Uint8Array(12)), (b) => b.toString(16).padStart(2, "0")).join("");
    },
    /* What was typed survives a reload of the page; it is kept in this window alone. */
    draft(name) {
      return {
        read() { try { return JSON.parse(sessionStorage.getItem(name) || "null"); } catch (error) { return null; } },
        write(value) { try { sessionStorage.setItem(name, JSON.stringify(value)); } catch (error) { /* full or forbidden: the page still works */ } },
        forget() { try { sessionStorage.removeItem(name); } catch (error) { /* as above */ } },
      };
    },
    /* Ask what a sleeve is to us, a moment after the last key; only the last question is answered. */
    asking(form, place, names, done) {
      const WAIT_MS = 250;
      let timer = 0, asked = "", shown = null, controller = null;
      const words = () => {
        const all = new FormData(form), chosen = new URLSearchParams();
        for (const name of [...names, "csrf_token"]) chosen.set(name, all.get(name) || "");
        return chosen;
      };
      const named = () => (words().get("title") || "").trim() || (words().get("number") || "").trim().length > 5;
      async function ask() {
        const body = words(), text = body.toString();
        if (!named()) { place.replaceChildren(); asked = shown = text; done(null); return; }
        if (text === asked) return;
        asked = text;
        if (controller) controller.abort();
        controller = new AbortController();
        try {
          const answer = await fetch(form.dataset.look, { method: "POST", body, credentials: "same-origin", headers: { "HX-Request": "true" }, signal: controller.signal });
          const html = await answer.text();
          if (asked !== text) return;
          place.innerHTML = html;
          shown = text;
        } catch (error) {
          if (error.name === "AbortError") return;
          if (asked === text) { asked = ""; place.replaceChildren(); shown = text; }
        }
        done(place.querySelector(".look-found"));
      }
      const soon = () => { clearTimeout(timer); timer = setTimeout(ask, WAIT_MS); };
      form.addEventListener("input", (event) => { if (names.includes(event.target.name)) soon(); });
      form.addEventListener("change", (event) => { if (names.includes(event.target.name)) { clearTimeout(timer); ask(); } });
      return {
        now() { clearTimeout(timer); return ask(); },
        isShown() { return shown === words().toString(); },
        forget() { clearTimeout(timer); if (controller) controller.abort(); asked = ""; shown = null; place.replaceChildren(); },
      };
    },
  };
})();
