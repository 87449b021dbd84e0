/* The phone desk. The list never changes under the hand: it stands still while the hand is on it,
   a late answer is dropped, and a row is taken only when its list has stood still for a moment. */
"use strict";
(function () {
  const STILL_MS = 300;
  const heardForm = document.getElementById("heard-form");
  const slipForm = document.getElementById("slip-form");
  if (!heardForm || !slipForm) return;
  const heard = document.getElementById("heard");
  const artist = document.getElementById("heard-artist");
  const asked = document.getElementById("asked");
  const answer = document.getElementById("answer");
  const announce = document.getElementById("announce");

  let number = 0;         /* of the newest question sent */
  /* As the page came: what was typed before this script ran is not answered yet. */
  let answeredText = heard.defaultValue.trim() + "\n" + artist.defaultValue.trim();
  let keptText = answeredText;
  let changedAt = -STILL_MS;
  let refusedAt = "";      /* the row that was turned down by key: the hand stays there */
  let goToList = false;   /* Enter was pressed before the answer was there */

  function typed() { return heard.value.trim() + "\n" + artist.value.trim(); }
  function rows() {
    return Array.from(answer.querySelectorAll("button.row")).filter((r) => r.offsetParent !== null);
  }
  function handOnList() {
    return answer.contains(document.activeElement) && !document.activeElement.closest(".said");
  }
  function say(words) { announce.textContent = ""; announce.textContent = words; }

  /* Whether the list answers what is in the boxes now: said on the form, for whoever watches. */
  function tellWhetherAnswered() {
    heardForm.dataset.answered = typed() === answeredText ? "yes" : "no";
    heardForm.dataset.kept = typed() === keptText ? "yes" : "no";
  }

  function toList() {
    const first = rows()[0] || answer.querySelector("button, input, summary");
    if (first) first.focus(); else say(answer.textContent.trim());
  }

  function ask() { window.htmx.trigger(heardForm, "ask"); }

  for (const box of [heard, artist]) {
    box.addEventListener("keydown", function (event) {
      const plain = !event.ctrlKey && !event.metaKey && !event.altKey && !event.shiftKey;
      if (!plain || (event.key !== "Enter" && event.key !== "ArrowDown")) return;
      event.preventDefault();
      if (event.repeat) return;
      if (typed() === answeredText) toList(); else { goToList = true; ask(); }
    });
    box.addEventListener("input", function () { goToList = false; tellWhetherAnswered(); });
    box.addEventListener("focus", function () { if (typed() !== answeredText) ask(); });
    box.addEventListener("blur", function () { if (typed() !== keptText) ask(); });
  }
  heardForm.addEventListener("submit", (event) => event.preventDefault());
  slipForm.addEventListener("submit", (event) => event.preventDefault());

  answer.addEventListener("keydown", function (event) {
    const row = event.target.closest("button.row");
    if (!row || event.ctrlKey || event.metaKey || event.altKey) return;
    const all = rows();
    const at = all.indexOf(row);
    let next = null;
    if (event.key === "ArrowDown") next = all[Math.min(at + 1, all.length - 1)];
    else if (event.key === "ArrowUp") next = at === 0 ? heard : all[at - 1];
    else if (event.key === "Home") next = all[0];
    else if (event.key === "End") next = all[all.length - 1];
    else if (event.key === "ArrowRight" || event.key === "ArrowLeft") {
      /* Other versions lie folded under a row. */
      const fold = row.closest(".versions") || row.closest("li").querySelector(".versions");
      if (!fold) return;
      fold.open = event.key === "ArrowRight";
      next = fold.open ? fold.querySelector("button.row") : fold.closest("li").querySelector("button.row");
    } else if (event.key === "Delete") {
      const refuse = row.closest("li").querySelector("button.turn-down");
      if (refuse) { event.preventDefault(); refusedAt = row.dataset.row; refuse.click(); }
      return;
    }
    else if (/^[1-9]$/.test(event.key)) {
      next = all.find((r) => r.dataset.row === event.key);
      changedAt = performance.now();
    } else if (/^[\p{L}']$/u.test(event.key)) {
      /* Whoever types words means the box, not a row. */
      event.preventDefault();
      heard.focus();
      heard.setSelectionRange(heard.value.length, heard.value.length);
      heard.setRangeText(event.key, heard.value.length, heard.value.length, "end");
      heard.dispatchEvent(new Event("input", { bubbles: true }));
      return;
    }
    if (next) { event.preventDefault(); next.focus(); }
    if (event.key === "Enter" && event.repeat) event.preventDefault();
  });

  /* Neither a key nor the mouse takes a row of a list that has only just changed. */
  answer.addEventListener("click", function (event) {
    const button = event.target.closest("button.row, button.take");
    if (!button) return;
    if (performance.now() - changedAt < STILL_MS) {
      event.preventDefault();
      event.stopPropagation();
      say(announce.dataset.still);
    } else if (button.dataset.why) sayWhyNot(button);
  }, true);

  /* Why a row was not taken, and what to do: beside it, where the eyes are. */
  function sayWhyNot(button) {
    for (const old of answer.querySelectorAll(".not-now")) old.remove();
    const words = document.createElement("p");
    words.className = "not-now";
    words.textContent = button.dataset.why;
    button.after(words);
    words.scrollIntoView({ block: "nearest" });
    say(button.dataset.why);
  }

  /* What the slip holds, as far as this page has seen: another desk may write on it too. */
  function seen(words, by) {
    document.getElementById("seen-heard").value = words || "";
    document.getElementById("seen-heard-artist").value = by || "";
  }
  document.addEventListener("click", function (event) {
    const button = event.target.closest("#heard-clash button");
    if (!button) return;
    const theirs = button.closest(".clash").dataset;
    seen(theirs.heard, theirs.artist);
    if (button.dataset.take === "theirs") { heard.value = theirs.heard; artist.value = theirs.artist; }
    button.closest(".clash").remove();
    heard.focus();
    ask();
  });

  const isHeard = (event) => event.detail.requestConfig && event.detail.requestConfig.elt === heardForm;
  const sentText = new Map();

  document.addEventListener("htmx:configRequest", function (event) {
    if (event.detail.elt === heardForm) {
      number += 1;
      asked.value = String(number);
      event.detail.parameters.set("asked", String(number));
      sentText.set(number, typed());
    }
  });

  document.addEventListener("htmx:beforeSwap", function (event) {
    if (!isHeard(event) || event.detail.isError) return;
    const mine = Number(event.detail.requestConfig.parameters.get("asked"));
    const text = sentText.get(mine);
    sentText.delete(mine);
    if (mine !== number || handOnList()) event.detail.shouldSwap = false;
    else answeredText = text;
  });

  document.addEventListener("htmx:afterSwap", function (event) {
    if (event.detail.target === answer) {
      changedAt = performance.now();
      tellWhetherAnswered();
      const list = document.getElementById("list");
      say(list ? list.dataset.said : "");
      if (refusedAt) {
        const all = rows();
        (all.find((r) => r.dataset.row === refusedAt) || all[all.length - 1] || heard).focus();
        refusedAt = "";
      }
      if (goToList && typed() === answeredText) { goToList = false; toList(); }
    }
  });
  /* What stood open, and where the hand was, is the same after something was drawn anew. */
  let stripOpen = false;
  let notedIn = null;
  document.addEventListener("htmx:beforeSwap", function (event) {
    const target = event.detail.target;
    const more = document.getElementById("strip-more");
    if (target.id === "strip") stripOpen = Boolean(more && more.open);
    if (target.matches("form") && target.contains(document.activeElement)) notedIn = target.closest("li") || answer;
  });
  document.addEventListener("htmx:afterSwap", function () {
    const more = document.getElementById("strip-more");
    if (more && stripOpen) more.open = true;
    if (notedIn && document.activeElement === document.body) {
      (notedIn.querySelector("button.row") || heard).focus();
    }
    notedIn = null;
  });
  document.addEventListener("htmx:load", function (event) {
    if (event.detail.elt.id === "chosen") afterChoosing(event.detail.elt);
    if (event.detail.elt.id === "the-slip") knowSlip(event.detail.elt);
  });

  function afterChoosing(chosen) {
    if (!chosen.classList.contains("full")) { heard.focus(); return; }
    const name = document.getElementById("caller_name");
    (name.value.trim() ? document.getElementById("hand-over") : name).focus();
  }

  /* The address names the slip once there is one, so that a reload comes back to it. */
  function knowSlip(place) {
    if (place.dataset.address && location.pathname !== place.dataset.address) {
      history.replaceState(null, "", place.dataset.address);
    }
  }

  document.addEventListener("htmx:afterRequest", function (event) {
    if (event.detail.elt !== heardForm || !event.detail.successful) return;
    const sent = event.detail.requestConfig.parameters;
    if (event.detail.xhr.getResponseHeader("X-Heard-Kept") !== "no") seen(sent.get("heard"), sent.get("heard_artist"));
    keptText = (sent.get("heard") || "").trim() + "\n" + (sent.get("heard_artist") || "").trim();
    tellWhetherAnswered();
  });
  document.addEventListener("asheard:back", function () {
    if (typed() !== answeredText || typed() !== keptText) ask();
  });
  window.addEventListener("load", function () {
    if (typed() === answeredText) return;
    tellWhetherAnswered();
    ask();
  });
})();
