/* Ticks in a list: how many there are, all of the page, and a range: hold Shift with a click or
   with the space bar, from the last tick to this one; Shift and the arrows tick on the way. */
"use strict";
(function () {
  const form = document.getElementById("choose");
  if (!form) return;
  const ticks = Array.from(document.querySelectorAll('input[name="one"][form="choose"]'));
  const all = document.getElementById("tick-all");
  const told = form.querySelector(".ticked");
  let last = null;
  let shifted = false;

  function tell() {
    const count = ticks.filter((tick) => tick.checked).length;
    const words = count === 0 ? told.dataset.none : count === 1 ? told.dataset.one : told.dataset.many;
    told.textContent = words.replace("#", count);
    all.checked = count === ticks.length;
    all.indeterminate = count > 0 && count < ticks.length;
  }

  document.addEventListener("keydown", (event) => { shifted = event.shiftKey; });
  document.addEventListener("keyup", (event) => { shifted = event.shiftKey; });
  document.addEventListener("click", (event) => { shifted = event.shiftKey || shifted; }, true);

  ticks.forEach(function (tick, at) {
    tick.addEventListener("change", function () {
      if (shifted && last !== null) {
        const [from, to] = last < at ? [last, at] : [at, last];
        for (let n = from; n <= to; n += 1) ticks[n].checked = tick.checked;
      }
      last = at;
      tell();
    });
    tick.addEventListener("keydown", function (event) {
      const step = { ArrowDown: 1, ArrowUp: -1 }[event.key];
      const next = step && ticks[at + step];
      if (!next) return;
      event.preventDefault();
      next.focus();
      if (event.shiftKey) {
        next.checked = tick.checked;
        last = at + step;
        tell();
      }
    });
  });
  all.addEventListener("change", function () {
    ticks.forEach((tick) => { tick.checked = all.checked; });
    tell();
  });
  document.documentElement.classList.add("script");
  tell();
})();
