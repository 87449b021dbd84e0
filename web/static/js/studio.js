/* The studio's queue. A card that did not change is left alone, so that nothing moves under the
   hand; what arrived is marked once. Copying works without a secure connection as well. */
"use strict";
(function () {
  document.addEventListener("htmx:beforeSwap", function (event) {
    const queue = document.getElementById("queue");
    if (event.detail.target !== queue || event.detail.xhr.status !== 200) return;
    event.detail.shouldSwap = false;
    const page = new DOMParser().parseFromString(event.detail.serverResponse, "text/html");
    const fresh = page.getElementById("queue");
    if (!fresh) return;
    queue.dataset.number = fresh.dataset.number;
    merge(queue, fresh);
    queue.setAttribute("hx-get", fresh.getAttribute("hx-get"));
    window.htmx.process(queue);
  });

  function merge(queue, fresh) {
    const cards = queue.querySelector("#cards");
    const count = cards.querySelector("#count");
    const words = fresh.querySelector("#count").textContent;
    if (count.textContent !== words) count.textContent = words;
    const wanted = Array.from(fresh.querySelectorAll("article.card"));
    const kept = new Set(wanted.map((card) => card.id));
    for (const card of cards.querySelectorAll("article.card")) {
      if (!kept.has(card.id)) card.remove();
    }
    for (const line of fresh.querySelectorAll("[data-live]")) {
      const there = document.getElementById(line.id);
      if (there && there.textContent !== line.textContent) there.textContent = line.textContent;
    }
    const left = cards.querySelector("#left");
    const leftNow = fresh.querySelector("#left").textContent;
    if (left.textContent !== leftNow) left.textContent = leftNow;
    let before = left;
    for (const card of wanted) {
      let there = document.getElementById(card.id);
      if (!there || there.dataset.version !== card.dataset.version) {
        const arrived = document.importNode(card, true);
        arrived.classList.add("arrived");
        if (there) replaceUnderTheHand(there, arrived);
        there = arrived;
      }
      if (before.nextElementSibling !== there) before.after(there);
      before = there;
    }
    const played = queue.querySelector("#played");
    const done = fresh.querySelector("#played");
    if (!played.contains(document.activeElement) && played.innerHTML !== done.innerHTML) {
      played.replaceChildren(...document.importNode(done, true).childNodes);
    }
  }

  /* A card may change while somebody chooses on it: the choice and the focus stay. */
  function replaceUnderTheHand(there, arrived) {
    const hand = there.contains(document.activeElement) ? document.activeElement : null;
    const chosen = Array.from(there.querySelectorAll("select")).map((one) => [one.id, one.value]);
    there.replaceWith(arrived);
    for (const [id, value] of chosen) {
      const now = document.getElementById(id);
      if (now) now.value = value;
    }
    if (hand) (document.getElementById(hand.id) || arrived.querySelector("button")).focus();
  }

  /* F8 copies the first file's place: the button carries no data-key, since each card has one. */
  document.addEventListener("keydown", function (event) {
    if (event.key !== "F8" || event.ctrlKey || event.altKey || event.metaKey) return;
    const card = document.activeElement.closest("article.card");
    const button = (card && card.querySelector(".copy")) || document.querySelector("article.card .copy");
    if (button) { event.preventDefault(); button.click(); }
  });
})();
