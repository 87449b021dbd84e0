/* Somebody else sits down at a shared desk: in by PIN over the page that is open. Nothing on the
   page is touched but the name and the desks in its head, so a half-filled slip stays as it is. */
"use strict";
(function () {
  const dialog = document.getElementById("change");
  const link = document.getElementById("change-person");
  if (!dialog || !link || !dialog.showModal) return;
  const form = document.getElementById("change-form");
  const said = document.getElementById("change-said");
  const pin = form.elements.pin;
  let from = null;      /* where the hand was */
  let changing = false;

  function open(event) {
    event.preventDefault();
    event.stopPropagation();
    from = document.activeElement === link ? from : document.activeElement;
    pin.value = "";
    said.replaceChildren();
    dialog.showModal();
    const chosen = form.querySelector("input[name=person]:checked") || form.querySelector("input[name=person]");
    if (chosen) chosen.focus();
  }
  function handBack() {
    const back = from && from.isConnected ? from : document.getElementById("work");
    from = null;
    back.focus();
  }
  /* The hand leaves its field before the click is heard. */
  link.addEventListener("mousedown", () => { from = document.activeElement; });
  link.addEventListener("click", open);
  document.getElementById("change-stay").addEventListener("click", () => dialog.close());
  dialog.addEventListener("close", handBack);
  /* Keys of the desk behind it are not meant while it is open. */
  dialog.addEventListener("keydown", function (event) {
    event.stopPropagation();
    if (event.key === "Escape") { event.preventDefault(); dialog.close(); }
  });

  function headOf(text) {
    const page = new DOMParser().parseFromString(text, "text/html");
    for (const part of ["nav", ".person"]) {
      const [old, now] = [document.querySelector("#head " + part), page.querySelector(part)];
      if (old && now) old.replaceWith(document.adoptNode(now));
    }
    const words = document.createElement("p");
    words.className = "note";
    words.textContent = form.dataset.done.replace("NAME", document.querySelector("#head .person").textContent);
    document.getElementById("said").replaceChildren(words);
    const problem = document.querySelector('#problem [data-status="401"]');
    if (problem) problem.remove();
  }
  function refused(text) {
    const page = new DOMParser().parseFromString(text, "text/html");
    const words = document.createElement("p");
    words.className = "problem";
    words.textContent = (page.querySelector(".problem") || page.body).textContent.trim();
    said.replaceChildren(words);
    pin.value = "";
    pin.focus();
  }

  form.addEventListener("submit", async function (event) {
    event.preventDefault();
    if (changing) return;
    changing = true;
    const fields = new URLSearchParams(new FormData(form));
    fields.set("over", location.pathname);
    try {
      const answer = await fetch(form.action, {
        method: "POST", body: fields, headers: { "HX-Request": "true" }, credentials: "same-origin",
      });
      const text = await answer.text();
      if (!answer.ok) refused(text);
      else if (answer.headers.get("HX-Redirect")) location.assign(answer.headers.get("HX-Redirect"));
      else if (answer.headers.get("HX-Refresh")) location.reload();
      else { headOf(text); dialog.close(); }
    } catch (_) {
      refused(document.getElementById("lost").textContent || "…");
    } finally {
      pin.value = "";
      changing = false;
    }
  });
})();
