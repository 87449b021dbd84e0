/* A barcode reader that types as a keyboard does: characters without a pause, and Enter. What it
   types goes into the box for a mark wherever the focus is, stands there alone, and Enter goes to
   the next sensible step: a form that is half filled is never sent by it.

   A box says what its next step is: data-wedge="send" sends its form, data-wedge="next" goes on to
   the next empty box of the form, data-wedge="line" is a list of marks, one a line. The box with
   data-wedge-home takes what is scanned while no box has the focus. */
"use strict";
(function () {
  const GAP_MS = 50;      /* longest pause between two keys of a reader; hands are slower (common practice, no source) */
  const FEWEST = 3;       /* keys of the shortest scan: two can be one slip of the finger */
  let burst = "";
  let lastAt = -1e9;
  let from = null;        /* where the focus was as it began */

  const editable = (e) => e && e.matches && e.matches("textarea, select, input:not([type=checkbox]):not([type=radio]):not([type=button]):not([type=submit])");
  const home = () => document.querySelector("[data-wedge-home]");

  function goOn(box) {
    const form = box.form;
    const fields = Array.from(form.querySelectorAll("input:not([type=hidden]), select, textarea, button"))
      .filter((e) => !e.disabled && e.getClientRects().length);
    const after = fields.slice(fields.indexOf(box) + 1);
    const next = after.find((e) => e.matches("input:not([type=checkbox]):not([type=radio]), textarea") && !e.value)
      || after.find((e) => e.matches("button:not([type=button])")) || after[0];
    if (next) next.focus();
  }

  /* A scan has ended with Enter in a box: what was typed before it goes, and the next step comes. */
  function scanned(box, text) {
    if (box.dataset.wedge !== "line" && box.value !== text) {
      box.value = text;
      box.dispatchEvent(new Event("input", { bubbles: true }));
    }
    if (box.dataset.wedge === "next") goOn(box);
    else if (box.dataset.wedge === "send") box.form.requestSubmit();
    else {
      box.value = `${box.value.trimEnd()}\n${text}\n`.trimStart();
      box.scrollTop = box.scrollHeight;
    }
  }

  document.addEventListener("keydown", function (event) {
    if (event.isComposing || event.ctrlKey || event.altKey || event.metaKey) return;
    const fast = event.timeStamp - lastAt <= GAP_MS && from === event.target;
    if (event.key.length === 1) {
      if (!fast) { burst = ""; from = event.target; }
      burst += event.key;
      lastAt = event.timeStamp;
      /* A reader's space must not press a button that has the focus, nor scroll the page. */
      if (event.key === " " && burst.length > 1 && !editable(event.target)) event.preventDefault();
      return;
    }
    if (event.key === "Shift") return;   /* a reader holds it for capitals */
    const text = burst;
    burst = "";
    if (event.key !== "Enter" || !fast || text.length < FEWEST) return;
    const target = event.target;
    const box = editable(target) ? target : home();
    if (!box || !box.dataset.wedge) {
      if (!editable(target)) event.preventDefault();   /* no button is pressed by a scan */
      return;
    }
    if (box === target && box.dataset.wedge === "line") return;   /* Enter ends its line */
    event.preventDefault();
    event.stopImmediatePropagation();
    lastAt = -1e9;
    if (box !== target) box.focus();
    scanned(box, text.trim());
  }, true);

  document.addEventListener("keyup", function (event) {
    if (event.key === " " && burst.length > 1 && !editable(event.target)) event.preventDefault();
  }, true);
})();
