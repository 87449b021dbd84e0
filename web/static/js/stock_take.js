/* A walk along a shelf. Each tick has a key made here and is sent one after the other; what could
   not be sent stays in this browser, is said to be so, and is sent when the station's PC answers
   again, also when the page was closed meanwhile. Nothing of a caller is on this page. */
"use strict";
(function () {
  const AGAIN_MS = 3000;
  const walk = document.getElementById("walk");
  const box = document.getElementById("scan");
  const told = document.getElementById("walk-said");
  const unsent = document.getElementById("walk-unsent");
  const odd = document.getElementById("walk-odd");
  const headers = JSON.parse(document.body.getAttribute("hx-headers"));
  const kept = `asheard-stock-take-${walk.dataset.take}`;
  let number = Number(walk.dataset.number);
  let sending = false;
  let over = false;
  let trouble = "";
  let queue = load();

  function load() {
    try { return JSON.parse(localStorage.getItem(kept)) || []; } catch (error) { return []; }
  }
  function keep() {
    try {
      if (queue.length) localStorage.setItem(kept, JSON.stringify(queue)); else localStorage.removeItem(kept);
    } catch (error) { /* a browser that stores nothing: it is kept on the page alone */ }
  }
  const newKey = () => Array.from(crypto.getRandomValues(new Uint8Array(12)),
    (b) => b.toString(16).padStart(2, "0")).join("");
  const bare = (text) => text.replace(/[\s-]/g, "").toLowerCase();
  const rowOf = (id) => document.querySelector(`#d${id} .walk-row`);
  const keysOf = (row) => row.dataset.keys.split(" ").filter(Boolean);

  function show(row) {
    const keys = keysOf(row);
    const waiting = new Set(queue.filter((job) => job.does === "seen").map((job) => job.form.key));
    row.setAttribute("aria-pressed", keys.length ? "true" : "false");
    row.classList.toggle("unsent", keys.length > 0 && keys.every((key) => waiting.has(key)));
  }
  function setKeys(row, keys) { row.dataset.keys = keys.join(" "); show(row); }
  function say(words) { told.textContent = words; }

  function tell() {
    const waiting = queue.length > 0 && trouble;
    unsent.hidden = !waiting;
    const words = queue.length === 1 ? unsent.dataset.one : unsent.dataset.more.replace("{n}", String(queue.length));
    unsent.textContent = waiting ? `${words} ${trouble === "silent" ? "" : trouble}`.trim() : "";
  }

  /* What the server says of the walk: other people's ticks too. Those still waiting here stay. */
  function apply(answer) {
    number = Math.max(number, answer.number);
    document.getElementById("walk-count").textContent = answer.count;
    for (const [id, ticks] of Object.entries(answer.rows)) {
      const row = rowOf(id);
      if (!row) continue;
      const mine = queue.filter((job) => job.does === "seen" && job.form.disc === id).map((job) => job.form.key);
      const going = new Set(queue.filter((job) => job.does === "not-seen").flatMap((job) => job.form.keys.split(" ")));
      row.querySelector(".walk-by").textContent = ticks.by;
      setKeys(row, [...new Set([...ticks.keys, ...mine])].filter((key) => !going.has(key)));
    }
    /* Not while somebody writes in it: their own answer brings it anew. */
    if (answer.elsewhere !== undefined && !odd.contains(document.activeElement)) odd.innerHTML = answer.elsewhere;
    if (answer.over) { over = true; say(answer.over); box.disabled = true; }
  }

  function refused(job, words) {
    say(words);
    if (job.does === "seen" && job.form.disc) {
      const row = rowOf(job.form.disc);
      if (row) setKeys(row, keysOf(row).filter((key) => key !== job.form.key));
    } else if (job.does === "seen" && !box.value) { box.value = job.form.mark; box.select(); }
  }

  async function send(job) {
    const form = new URLSearchParams({ ...job.form, since: String(number) });
    const address = { seen: walk.dataset.seen, "not-seen": walk.dataset.notSeen, about: walk.dataset.about }[job.does];
    const answer = await fetch(address, { method: "POST", body: form, credentials: "same-origin",
      headers: { ...headers, "HX-Request": "true" } });
    if ((answer.headers.get("Content-Type") || "").startsWith("application/json")) return answer.json();
    /* Signed out, or the PC is in trouble: it stays here, and it is said why. */
    const page = new DOMParser().parseFromString(await answer.text(), "text/html");
    throw new Error(page.body.textContent.trim().replace(/\s+/g, " "));
  }

  async function work() {
    if (sending) return;
    sending = true;
    try {
      while (queue.length) {
        const job = queue[0];
        const answer = await send(job);
        trouble = "";
        queue = queue.filter((other) => other !== job);
        keep();
        if (answer.refused) { refused(job, answer.refused); } else {
          apply(answer);
          const row = job.form.disc && rowOf(job.form.disc);
          if (row) show(row);
          if (answer.said) say(answer.said);
        }
        markNext();
      }
    } catch (error) {
      trouble = error instanceof TypeError ? "silent" : error.message;
    } finally {
      sending = false;
      tell();
    }
  }
  function add(does, form) {
    queue.push({ does, form });
    keep();
    work();
  }

  function tick(row, scanned) {
    const key = newKey();
    setKeys(row, [...keysOf(row), key]);
    row.classList.add("unsent");
    add("seen", scanned ? { key, disc: row.value, mark: scanned } : { key, disc: row.value });
  }
  function untick(row) {
    const keys = keysOf(row).join(" ");
    setKeys(row, []);
    add("not-seen", { keys });
  }

  /* The row to go on with: the first after the last tick that is not ticked. */
  let lastTicked = null;
  function markNext() {
    const rows = Array.from(document.querySelectorAll(".walk-rows > li"));
    const from = lastTicked ? rows.indexOf(lastTicked.closest("li")) + 1 : 0;
    const ahead = rows.slice(from).find((li) => li.firstElementChild.getAttribute("aria-pressed") !== "true");
    for (const li of rows) li.classList.toggle("next", li === ahead && lastTicked !== null);
    return ahead;
  }

  document.querySelector(".walk-list form").addEventListener("submit", function (event) {
    event.preventDefault();
    const row = event.submitter;
    if (!row || over) return;
    if (row.getAttribute("aria-pressed") === "true") untick(row);
    else { lastTicked = row; tick(row, ""); markNext(); }
  });

  /* One that stands on this page is ticked at once, though the PC may not answer just now. */
  function scanned(text) {
    const known = Array.from(document.querySelectorAll(".walk-row"))
      .filter((row) => row.dataset.knownAs.split(" ").includes(bare(text)));
    const open = known.filter((row) => row.getAttribute("aria-pressed") !== "true");
    const row = open.length === 1 ? open[0] : known.length === 1 ? known[0] : null;
    if (row) {
      lastTicked = row;
      tick(row, text);
      const next = markNext();
      (next || row).scrollIntoView({ block: "nearest" });
    } else add("seen", { key: newKey(), mark: text });
  }
  document.getElementById("scan-form").addEventListener("submit", function (event) {
    event.preventDefault();
    const text = box.value.trim();
    if (!text || over) { box.focus(); return; }
    box.value = "";
    scanned(text);
  });
  document.addEventListener("asheard:scanned", (event) => { if (!over) scanned(event.detail); });

  odd.addEventListener("submit", function (event) {
    const form = event.target;
    if (!form.dataset.does) return;
    event.preventDefault();
    const values = Object.fromEntries(new FormData(form));
    delete values.csrf_token;
    box.focus({ preventScroll: true });
    add(form.dataset.does, values);
  });

  async function ask() {
    if (document.hidden || over) return;
    if (queue.length) { work(); return; }
    try {
      const answer = await fetch(`${walk.dataset.since}?since=${number}`, { credentials: "same-origin", headers: { "HX-Request": "true" } });
      if (answer.status === 200) apply(await answer.json());
    } catch (error) {
      if (!(error instanceof TypeError) && !(error instanceof SyntaxError)) throw error;
    }
  }
  window.setInterval(ask, AGAIN_MS);
  window.addEventListener("online", work);
  document.addEventListener("visibilitychange", ask);

  /* What was left unsent when the page was closed is shown as it was ticked. */
  for (const job of queue) {
    const row = job.form.disc && rowOf(job.form.disc);
    if (row && job.does === "seen") setKeys(row, [...new Set([...keysOf(row), job.form.key])]);
  }
  const ticked = document.querySelector(`#d${walk.dataset.next}`);
  if (ticked && ticked.previousElementSibling) lastTicked = ticked.previousElementSibling.firstElementChild;
  if (lastTicked) { const next = markNext(); if (next) next.scrollIntoView({ block: "center" }); }
  /* On a telephone the keyboard would cover the shelf: there it comes when the box is touched. */
  if (window.matchMedia("(pointer: fine)").matches) box.focus({ preventScroll: true });
  if (queue.length) { trouble = "silent"; tell(); work(); }
})();
