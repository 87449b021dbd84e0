/* A donated box: one line for the disc in the hand, kept or declined with one key; what cannot be
   sent stays on the line. Kind and condition stay from disc to disc. */
"use strict";
(function () {
  const ASK_MS = 4000;
  const typing = window.asheardTyping;
  const list = document.getElementById("box-list");
  const form = document.getElementById("box-form");
  const headers = { ...JSON.parse(document.body.getAttribute("hx-headers")), "HX-Request": "true" };

  function show(html) {
    list.innerHTML = html;
    window.htmx.process(list);
  }
  async function sent(address, body) {
    const answer = await fetch(address, { method: "POST", body, headers, credentials: "same-origin" });
    const html = await answer.text();
    if (answer.ok) return { ok: true, html };
    return { ok: false, words: new DOMParser().parseFromString(html, "text/html").body.textContent.trim() };
  }
  const problem = document.getElementById("problem");
  function tell(words) {
    problem.replaceChildren();
    if (!words) return;
    const said = document.createElement("p");
    said.className = "problem";
    said.textContent = words;
    problem.append(said);
  }

  /* Rows of the list: a shelf mark typed or scanned, a decision, or one taken back. */
  list.addEventListener("submit", async function (event) {
    const row = event.target.closest("li");
    if (!row) return;
    event.preventDefault();
    const body = new URLSearchParams(new FormData(event.target));
    if (event.submitter && event.submitter.name) body.set(event.submitter.name, event.submitter.value);
    const marking = event.target.matches(".shelve"), again = event.target.matches(".again"), id = row.id;
    let answer;
    try { answer = await sent(event.target.action, body); }
    catch (error) { tell(form ? form.dataset.lost : String(error)); return; }
    if (!answer.ok) { tell(answer.words); return; }
    tell("");
    const typed = { ...row.dataset };
    show(answer.html);
    if (again && form && !document.getElementById(id) && !form.elements.title.value.trim()) {
      for (const [name, value] of Object.entries(typed)) if (form.elements[name]) form.elements[name].value = value;
      form.elements.title.focus();
      looking.now();
      keep();
      return;
    }
    /* The next disc without a mark is above: the latest stands first. */
    const marks = Array.from(list.querySelectorAll(".shelve [name=shelf_mark]"));
    const after = marking ? marks.reverse().find((box) => box.closest("li").compareDocumentPosition(document.getElementById(id)) & Node.DOCUMENT_POSITION_FOLLOWING) : null;
    const here = document.getElementById(id);
    (after || (here && here.querySelector("button, input:not([type=hidden])")) || list).focus();
  });

  setInterval(async function () {
    if (document.hidden || list.contains(document.activeElement)) return;
    const since = document.getElementById("box-rows").dataset.since;
    try {
      const answer = await fetch(`${list.dataset.rows}?since=${since}`, { headers, credentials: "same-origin" });
      if (answer.status === 200 && !list.contains(document.activeElement)) show(await answer.text());
    } catch (error) { /* asked again in a moment */ }
  }, ASK_MS);

  if (!form) return;
  const fields = form.elements;
  const said = document.getElementById("box-problem");
  const draft = typing.draft(`asheard box ${location.pathname}`);
  const KEPT = ["key", "artist", "title", "number", "carrier", "condition", "tracks"];
  let busy = false, sure = "";

  function keep() { draft.write(Object.fromEntries(KEPT.map((name) => [name, fields[name].value]))); }
  function suggest(found) {
    for (const button of form.querySelectorAll("[name=decision]")) button.classList.remove("suggested");
    if (!found) return null;
    const button = form.querySelector(`[name=decision][value=${found.dataset.keep === "yes" ? "kept" : "declined"}]`);
    button.classList.add("suggested");
    return button;
  }
  const looking = typing.asking(form, document.getElementById("look"), ["artist", "title", "number", "carrier", "condition", "tracks", "box"], function (found) {
    suggest(found);
    /* The number alone tells the disc: its names are taken over. */
    if (found && found.dataset.title && !fields.title.value.trim() && !fields.artist.value.trim()) {
      fields.artist.value = found.dataset.artist;
      fields.title.value = found.dataset.title;
      keep();
      looking.now();
    }
  });

  form.addEventListener("keydown", async function (event) {
    const box = event.target;
    if (event.key !== "Enter" || event.ctrlKey || event.metaKey || !box.matches("input, select")) return;
    event.preventDefault();
    if (box !== fields.number && box.matches("input") && typing.isBarcode(box.value)) {
      fields.number.value = box.value.trim();
      box.value = "";
      fields.number.dispatchEvent(new Event("input", { bubbles: true }));
      looking.now();
      return;
    }
    if (box === fields.artist) { fields.title.focus(); return; }
    if (box === fields.title) { fields.number.focus(); looking.now(); return; }
    if (!fields.title.value.trim()) {
      await looking.now();
      if (!fields.title.value.trim()) { (fields.artist.value.trim() ? fields.title : fields.artist).focus(); return; }
    }
    /* On to the decision, with what is offered first under the hand. */
    await looking.now();
    const button = suggest(document.querySelector("#look .look-found"));
    if (button && document.activeElement === box) button.focus();
  });

  form.addEventListener("submit", async function (event) {
    event.preventDefault();
    if (busy || !event.submitter) return;
    const decision = event.submitter.value;
    if (!fields.title.value.trim()) { said.textContent = form.dataset.title; fields.title.focus(); return; }
    busy = true;
    const before = typed();
    try {
      if (!looking.isShown()) {
        await looking.now();
        const found = document.querySelector("#look .look-found");
        const offered = found && (found.dataset.keep === "yes" ? "kept" : "declined");
        /* Nothing is decided on that was not seen: what was not expected is pressed once more. */
        if (offered && decision !== "later" && offered !== decision && sure !== before + decision) {
          said.textContent = form.dataset.again;
          sure = before + decision;
          return;
        }
      }
      const body = new URLSearchParams(new FormData(form));
      body.set("decision", decision);
      const answer = await sent(form.action, body);
      if (!answer.ok) { said.textContent = answer.words; return; }
      show(answer.html);
      if (typed() === before) clear();
    } catch (error) {
      if (!(error instanceof TypeError)) throw error;
      said.textContent = form.dataset.lost;
    } finally { busy = false; }
  });
  const typed = () => KEPT.map((name) => fields[name].value).join("\n");

  function clear() {
    for (const name of ["artist", "title", "number", "tracks"]) fields[name].value = "";
    fields.key.value = typing.key();
    said.textContent = "";
    tell("");
    sure = "";
    form.querySelector(".tracks-cell").open = false;
    looking.forget();
    suggest(null);
    keep();
    fields.artist.focus();
  }
  form.addEventListener("input", () => { said.textContent = ""; keep(); });
  document.getElementById("look").addEventListener("click", function (event) {
    const on_it = event.target.closest(".is-on-it"), taken = event.target.closest(".take-over");
    let lines = [];
    if (on_it) lines = [on_it.dataset.title];
    if (taken) {
      lines = JSON.parse(taken.dataset.tracks).map((one) =>
        `${one.side || one.number ? `${/^[A-D]$/.test(one.side) ? one.side : ""}${one.number}. ` : ""}${one.title}${one.artist ? ` / ${one.artist}` : ""}${one.length ? ` ${one.length}` : ""}`);
    }
    if (!lines.length) return;
    form.querySelector(".tracks-cell").open = true;
    fields.tracks.value = [fields.tracks.value.trim(), ...lines].filter(Boolean).join("\n");
    keep();
    looking.now();
    fields.tracks.focus();
  });

  const left = draft.read();
  if (left) for (const name of KEPT) if (left[name]) fields[name].value = left[name];
  if (!fields.key.value) fields.key.value = typing.key();
  if (fields.title.value) looking.now();
})();
