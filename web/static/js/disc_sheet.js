/* A disc with its tracks by keyboard: Enter goes on, through the head and down the tracks. */
"use strict";
(function () {
  const typing = window.asheardTyping;
  const form = document.getElementById("disc-form");
  const head = document.getElementById("disc-head");
  const tracks = document.getElementById("tracks");
  const blank = document.getElementById("blank-track");
  const save = document.getElementById("save");
  const carrier = form.querySelector("[name=carrier]");
  const draft = typing.draft(`asheard sheet ${location.pathname}`);
  const SIDED = ["LP", "45", "78", "cassette"];
  const LETTERS = "ABCDEFGH";
  const of = (row, name) => row.querySelector(`[name=track_${name}]`);
  const rows = () => Array.from(tracks.querySelectorAll(".track-row"));
  const written = (row) => ["title", "artist", "length"].some((name) => of(row, name).value.trim());
  let number = 0;

  function add() {
    const row = blank.content.firstElementChild.cloneNode(true);
    number += 1;
    for (const part of row.querySelectorAll("[id], [for]")) {
      if (part.id) part.id = part.id.replace("NEW", `new-${number}`);
      if (part.htmlFor) part.htmlFor = part.htmlFor.replace("NEW", `new-${number}`);
    }
    tracks.append(row);
    return row;
  }
  const following = (row) => row.nextElementSibling || (rows().length < Number(form.dataset.most) ? add() : null);

  /* What stands in no box is shown in it faintly: the side of the row before, and the next number. */
  function number_on() {
    let side = SIDED.includes(carrier.value) ? "A" : "";
    const last = {};
    for (const row of rows()) {
      const box = of(row, "side"), place = of(row, "number");
      if (box.value.trim()) side = box.value.trim();
      box.placeholder = side;
      const next = (last[side] || 0) + 1;
      place.placeholder = String(next);
      last[side] = Number(place.value) || next;
    }
  }
  /* The side that is shown is the side that is meant: it is written down where a title stands. */
  function settle() {
    number_on();
    for (const row of rows()) {
      const box = of(row, "side");
      if (written(row) && !box.value.trim()) { box.value = box.placeholder; box.dataset.filled = box.value; }
    }
  }
  function keep() {
    const values = Array.from(form.elements).filter((box) => box.name && box.name !== "csrf_token" && box.name !== "donor")
      .map((box) => [box.name, box.value]);
    draft.write(values);
  }
  function restore() {
    const values = draft.read();
    if (!Array.isArray(values)) return;
    const many = values.filter(([name]) => name === "track_title").length;
    while (rows().length < many) add();
    const at = {};
    for (const [name, value] of values) {
      const boxes = form.querySelectorAll(`[name="${CSS.escape(name)}"]`);
      const box = boxes[at[name] || 0];
      at[name] = (at[name] || 0) + 1;
      if (box && box.type !== "hidden") box.value = value;
    }
  }

  const looking = typing.asking(form, document.getElementById("look"), ["artist", "title", "number", "carrier", "condition"], () => {});

  head.addEventListener("keydown", function (event) {
    const box = event.target;
    if (event.key !== "Enter" || event.ctrlKey || event.metaKey || !box.matches("input, select")) return;
    event.preventDefault();
    const number_box = head.querySelector("[name=number]");
    if (number_box && number_box !== box && ["artist", "title"].includes(box.name) && typing.isBarcode(box.value)) {
      number_box.value = box.value.trim();
      box.value = "";
      number_box.dispatchEvent(new Event("input", { bubbles: true }));
      return;
    }
    (typing.next(box, head) || of(rows()[0], "title")).focus();
  });

  tracks.addEventListener("keydown", function (event) {
    const box = event.target, row = box.closest(".track-row");
    if (!row) return;
    if (event.key === "F2") {
      event.preventDefault();
      const side = of(row, "side"), now = (side.value || side.placeholder || "A").toUpperCase();
      side.value = LETTERS[(LETTERS.indexOf(now) + 1) % LETTERS.length];
      settle();
      keep();
      return;
    }
    if (["ArrowDown", "ArrowUp"].includes(event.key)) {
      const next = event.key === "ArrowUp" ? row.previousElementSibling : row.nextElementSibling;
      if (next) { event.preventDefault(); of(next, box.name.replace("track_", "")).focus(); }
      return;
    }
    if (event.key !== "Enter" || event.ctrlKey || event.metaKey) return;
    event.preventDefault();
    /* An empty row after the last title: that was all. */
    if (box.name === "track_title" && !written(row)) { save.focus(); return; }
    const next = following(row);
    if (next) { settle(); of(next, "title").focus(); }
  });

  /* Lines pasted into a title are so many tracks. */
  tracks.addEventListener("paste", function (event) {
    const text = event.clipboardData.getData("text"), lines = text.split(/\r?\n/).map((line) => line.trim()).filter(Boolean);
    if (lines.length < 2 || event.target.name !== "track_title") return;
    event.preventDefault();
    let row = event.target.closest(".track-row");
    for (const line of lines) {
      if (!row) break;
      const found = line.match(/^(?:([A-Ha-h])?(\d{1,2})[\s.):-]+)?(.*?)(?:\s+[([]?(\d{1,2}:\d{2})[)\]]?)?$/);
      if (found[1]) of(row, "side").value = found[1].toUpperCase();
      if (found[2]) of(row, "number").value = String(Number(found[2]));
      of(row, "title").value = found[3] || line;
      if (found[4]) of(row, "length").value = found[4];
      row = following(row);
    }
    settle();
    keep();
    if (row) of(row, "title").focus();
  });

  /* A length typed after the title goes into its own box. */
  tracks.addEventListener("focusout", function (event) {
    const row = event.target.closest(".track-row");
    if (!row || event.target.name !== "track_title") return;
    const found = event.target.value.match(/^(.*\S)\s+[([]?(\d{1,2}:[0-5]\d)[)\]]?$/);
    if (found && !of(row, "length").value) { event.target.value = found[1]; of(row, "length").value = found[2]; keep(); }
  });

  document.getElementById("look").addEventListener("click", function (event) {
    const taken = event.target.closest(".take-over"), on_it = event.target.closest(".is-on-it");
    const empty = () => rows().find((row) => !written(row)) || add();
    if (on_it) { const row = empty(); of(row, "title").value = on_it.dataset.title; settle(); keep(); of(row, "title").focus(); }
    if (!taken) return;
    const disc = JSON.parse(taken.dataset.disc);
    for (const [name, value] of Object.entries(disc)) {
      const box = head.querySelector(`[name=${name}]`);
      if (box && box.type !== "hidden" && !box.value.trim()) box.value = value;
    }
    for (const track of JSON.parse(taken.dataset.tracks)) {
      const row = empty();
      for (const [name, value] of Object.entries(track)) of(row, name).value = value;
    }
    settle();
    keep();
    of(rows()[0], "title").focus();
  });

  document.getElementById("more-tracks").addEventListener("click", function () {
    const row = rows().find((one) => !written(one)) || add();
    for (let n = 0; n < 5; n += 1) if (rows().length < Number(form.dataset.most)) add();
    number_on();
    of(row, "title").focus();
  });
  carrier.addEventListener("change", function () {
    for (const row of rows()) {
      const box = of(row, "side");
      if (box.dataset.filled && box.value === box.dataset.filled) { box.value = ""; }
    }
    settle();
  });
  form.addEventListener("input", () => { number_on(); keep(); });
  form.addEventListener("htmx:configRequest", settle);
  form.addEventListener("htmx:beforeRequest", function (event) {
    if (save.getAttribute("aria-busy") === "true") event.preventDefault();
    save.setAttribute("aria-busy", "true");
  });
  form.addEventListener("htmx:afterRequest", function (event) {
    save.removeAttribute("aria-busy");
    /* A page that is left for another says nothing of success: its status does. */
    if (event.detail.xhr && event.detail.xhr.status >= 200 && event.detail.xhr.status < 400) draft.forget();
  });

  restore();
  settle();
  looking.now();
})();
