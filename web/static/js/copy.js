/* Copying a file's place: without HTTPS a browser gives no clipboard, so it is marked and copied
   as by hand; where even that is refused, the button says what to press. */
"use strict";
(function () {
  document.addEventListener("click", function (event) {
    const button = event.target.closest("button.copy");
    if (!button) return;
    const code = document.getElementById(button.dataset.copies);
    const selection = window.getSelection();
    selection.removeAllRanges();
    const range = document.createRange();
    range.selectNodeContents(code);
    selection.addRange(range);
    let done = false;
    try { done = document.execCommand("copy"); } catch (_) { done = false; }
    if (!done && navigator.clipboard) {
      navigator.clipboard.writeText(code.textContent).then(() => say(button, true), () => say(button, false));
      return;
    }
    say(button, done);
  });
  function say(button, done) { button.textContent = done ? button.dataset.done : button.dataset.byHand; }
})();
