/* The round's sheet. A row is sent as it is left; what cannot be sent stays on the page, is said
   to be so, and is sent when the station's PC answers again. Nothing is stored in the device. */
"use strict";
(function () {
  const AGAIN_MS = 3000;
  const rows = document.getElementById("rows");
  const head = document.getElementById("round-head");
  const over = document.getElementById("round-over");
  const unsent = document.getElementById("round-unsent");
  const blank = document.getElementById("blank-row");
  const headers = JSON.parse(document.body.getAttribute("hx-headers"));
  const sent = new WeakMap();     /* row -> what was last kept of it */
  const sending = new Set();
  const waiting = new Set();      /* rows that could not be sent */
  let number = 0;

  const newKey = () => Array.from(crypto.getRandomValues(new Uint8Array(12)),
    (b) => b.toString(16).padStart(2, "0")).join("");

  function fields(row) {
    const form = new URLSearchParams();
    for (const box of row.querySelectorAll("input, select")) {
      if (box.type === "checkbox") { if (box.checked) form.set(box.name, box.value); } else form.set(box.name, box.value);
    }
    return form;
  }
  function ownWords(row) {
    return ["heard", "heard_artist", "caller_name", "for_whom", "why"].some(
      (name) => row.querySelector(`[name=${name}]`).value.trim());
  }
  /* What a row is now: its own boxes, and what stays from row to row as it was when it was left. */
  function whole(row) {
    const form = fields(row);
    for (const [name, value] of new URLSearchParams(row.dataset.head || fields(head).toString())) {
      if (name !== "round") form.set(name, value);
    }
    form.set("key", row.dataset.key);
    form.set("round", head.querySelector("[name=round]").value);
    if (form.get("same_person") === "yes" && row.previousElementSibling) {
      form.set("same_as", row.previousElementSibling.dataset.key || "");
    }
    form.delete("same_person");
    return form;
  }

  /* All of it but the round's number, which the first row gives to the others. */
  function typed(row) {
    const form = whole(row);
    form.delete("round");
    return form.toString();
  }

  function addRow() {
    number += 1;
    const made = blank.content.firstElementChild.cloneNode(true);
    for (const part of made.querySelectorAll("[id], [for]")) {
      if (part.id) part.id = part.id.replace("NEW", `new-${number}`);
      if (part.htmlFor) part.htmlFor = part.htmlFor.replace("NEW", `new-${number}`);
    }
    made.dataset.key = newKey();
    rows.append(made);
    return made;
  }
  function lastRow() { return rows.querySelector(".round-row:last-of-type"); }
  function needBlank() {
    const last = lastRow();
    return !last || ownWords(last) ? addRow() : last;
  }

  function tell() {
    const all = Array.from(rows.querySelectorAll(".row-answer[data-slip]"));
    const doubtful = all.filter((a) => a.dataset.state === "doubtful").length;
    const count = document.getElementById("round-count");
    count.textContent = count.dataset.words
      .replace("{f}", String(all.length - doubtful)).replace("{d}", String(doubtful));
    unsent.hidden = waiting.size === 0;
    unsent.textContent = waiting.size === 1 ? unsent.dataset.one
      : unsent.dataset.more.replace("{n}", String(waiting.size));
    if (unsent.hidden) unsent.textContent = "";
  }

  function problem(row, words) { row.querySelector(".row-problem").textContent = words; }

  async function send(row) {
    if (sending.has(row) || !row.isConnected) return false;
    const form = whole(row);
    const words = typed(row);
    if (!ownWords(row) || sent.get(row) === words) return true;
    sending.add(row);
    try {
      const answer = await fetch(rows.dataset.send, {
        method: "POST", body: form, headers: { ...headers, "HX-Request": "true" }, credentials: "same-origin",
      });
      const html = await answer.text();
      if (!answer.ok) {
        /* It was understood and refused: said beside the row, which stays as it is. */
        const said = new DOMParser().parseFromString(html, "text/html").body.textContent.trim();
        problem(row, `${rows.dataset.wrong} ${said}`);
        waiting.add(row);
        return false;
      }
      row.querySelector(".row-answer").outerHTML = html;
      const shown = row.querySelector(".row-answer");
      window.htmx.process(shown);
      if (shown.dataset.round) setRound(shown.dataset.round);
      sent.set(row, words);
      waiting.delete(row);
      problem(row, "");
      return true;
    } catch (error) {
      if (!(error instanceof TypeError)) throw error;
      problem(row, rows.dataset.lost);
      waiting.add(row);
      return false;
    } finally {
      sending.delete(row);
      tell();
    }
  }

  function setRound(id) {
    for (const box of document.querySelectorAll("[name=round]")) box.value = id;
    const title = document.getElementById("round-title");
    title.textContent = title.dataset.words.replace("{n}", id);
  }

  /* One after the other: the first row makes the round that the others belong to. */
  async function sendAll(written) {
    let all = true;
    for (const row of rows.querySelectorAll(".round-row")) {
      /* The row being written is sent as it is left, not half of it before. */
      if (!written && row.contains(document.activeElement)) continue;
      if (ownWords(row)) all = (await send(row)) && all;
    }
    return all;
  }
  let turn = Promise.resolve(true);
  function inTurn(written = false) {
    const next = () => sendAll(written);
    turn = turn.then(next, next);
    return turn;
  }

  rows.addEventListener("focusout", function (event) {
    const row = event.target.closest(".round-row");
    if (!row || row.contains(event.relatedTarget)) return;
    if (!row.dataset.head) row.dataset.head = fields(head).toString();
    inTurn();
  });
  rows.addEventListener("focusin", function (event) {
    /* The row being written takes what stands above it now, until it is left. */
    const row = event.target.closest(".round-row");
    if (row && !row.querySelector(".row-answer[data-slip]")) delete row.dataset.head;
  });
  rows.addEventListener("input", needBlank);
  rows.addEventListener("keydown", function (event) {
    const box = event.target;
    if (event.key !== "Enter" || event.ctrlKey || event.metaKey || !box.matches("input, select")) return;
    event.preventDefault();
    /* Enter goes on to the next row, as on a sheet of paper. */
    const row = box.closest(".round-row");
    const next = row.nextElementSibling || needBlank();
    next.querySelector("[name=heard]").focus();
  });
  head.addEventListener("submit", (event) => event.preventDefault());
  document.addEventListener("htmx:afterSettle", tell);

  over.addEventListener("submit", async function (event) {
    if (over.dataset.sure === "yes") return;
    event.preventDefault();
    const button = over.querySelector("button");
    if (!(await inTurn(true)) || waiting.size) { tell(); unsent.scrollIntoView({ block: "nearest" }); return; }
    if (!over.querySelector("[name=round]").value) {
      document.getElementById("round-count").textContent = button.dataset.none;
      return;
    }
    over.dataset.sure = "yes";
    over.requestSubmit();
  });

  window.setInterval(() => { if (waiting.size) inTurn(); }, AGAIN_MS);
  window.addEventListener("online", () => inTurn());
  window.addEventListener("beforeunload", function (event) {
    if (over.dataset.sure === "yes") return;
    const left = Array.from(rows.querySelectorAll(".round-row")).some(
      (row) => ownWords(row) && sent.get(row) !== typed(row));
    if (left) event.preventDefault();
  });

  for (const row of rows.querySelectorAll(".round-row")) {
    row.dataset.head = fields(head).toString();
    sent.set(row, typed(row));
  }
  needBlank();
  tell();
})();
