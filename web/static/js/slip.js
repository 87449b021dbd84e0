/* Keeping the slip: what is typed is sent as it is typed, at once when the hand leaves a field, and
   before anything else is done or the page is left. Only fields changed here are sent, each with
   what was shown before: two desks may write on one slip, and neither overwrites what the other
   has not seen. Nothing is kept in the browser. */
"use strict";
(function () {
  const PATIENCE_MS = 5000;   /* how long leaving waits for the station's PC */
  const form = document.getElementById("slip-form");
  const heardForm = document.getElementById("heard-form");
  if (!form || !heardForm) return;
  const names = ["purpose", "occasion", "urgent", "caller_name", "say_name", "place_id",
    "place_detail", "for_whom", "why", "talk_about", "how_on_air", "line", "ring_back", "consent",
    "place_consent", "under_sixteen", "adult_consent", "first_words", "last_words", "may_hear"];
  const shown = new Map();      /* what the station's PC holds, as far as this page knows */
  const disputed = new Set();   /* fields on which another desk wrote something else */
  const clashes = document.getElementById("clashes");
  const problem = document.getElementById("problem");

  function valueOf(name) {
    const field = form.elements[name];
    if (field.type === "checkbox") return field.checked ? "yes" : "";
    return (field.value || "").trim();
  }
  function put(name, value) {
    const field = form.elements[name];
    if (field.type === "checkbox") field.checked = value === "yes";
    else if (field instanceof RadioNodeList) for (const one of field) one.checked = one.value === value;
    else field.value = value;
  }
  for (const name of names) shown.set(name, valueOf(name));

  /* Only a request or a dedication asks for music. */
  const sheet = form.closest("[data-musical]");
  function tellWhetherMusic() {
    const musical = sheet.dataset.musical.split(" ").includes(valueOf("purpose"));
    sheet.classList.toggle("no-music", !musical);
  }
  tellWhetherMusic();
  form.addEventListener("input", tellWhetherMusic);

  const changed = () => names.filter((n) => !disputed.has(n) && valueOf(n) !== shown.get(n));
  const heardKept = () => heardForm.dataset.kept !== "no";
  const settled = () => !changed().length && heardKept();
  const slipNumber = () => document.querySelector("#the-slip [name=slip]").value;

  function putChanges(parameters) {
    for (const name of names) parameters.delete(name);
    for (const name of changed()) {
      parameters.set(name, valueOf(name));
      parameters.set("seen_" + name, shown.get(name));
    }
  }
  function complain(words) {
    if (problem.firstChild) return;
    const place = document.createElement("p");
    place.className = "problem";
    place.textContent = words;
    problem.append(place);
  }
  function settleClashFirst() {
    complain(form.dataset.clashFirst);
    clashes.querySelector("button").focus();
  }

  /* Send all that is not kept yet; resolves to whether it is kept now. */
  function flush() {
    return new Promise(function (done) {
      const timer = setTimeout(() => end(false), PATIENCE_MS);
      function end(kept) {
        clearTimeout(timer);
        document.removeEventListener("htmx:afterRequest", after);
        done(kept);
      }
      function push() {
        if (settled()) { end(true); return; }
        if (changed().length) window.htmx.trigger(form, "keep");
        if (!heardKept()) window.htmx.trigger(heardForm, "ask");
      }
      function after(event) {
        if (event.detail.elt !== form && event.detail.elt !== heardForm) return;
        if (event.detail.successful) push(); else end(false);
      }
      document.addEventListener("htmx:afterRequest", after);
      push();
    });
  }
  let waiting = false;
  function afterKeeping(what) {
    if (waiting) return;
    waiting = true;
    flush().then(function (kept) {
      waiting = false;
      if (!kept) complain(form.dataset.notKept);
      else if (disputed.size) settleClashFirst();
      else what();
    });
  }

  let looking = false;
  document.addEventListener("htmx:confirm", function (event) {
    const detail = event.detail;
    if (detail.elt === form) {
      if (!changed().length && !looking) event.preventDefault();
      return;
    }
    if (detail.elt === heardForm || detail.verb !== "post") return;
    const leaves = /\/(hand-over|another)$/.test(detail.path);
    if (settled() && !(leaves && disputed.size)) return;
    event.preventDefault();
    afterKeeping(function () {
      /* The strip may have been drawn anew meanwhile: then its new button is meant. */
      const now = detail.elt.isConnected ? null : document.getElementById(detail.elt.id);
      if (now) now.click(); else detail.issueRequest(true);
    });
  });
  document.addEventListener("click", function (event) {
    const link = event.target.closest("a[href]");
    if (!link || event.defaultPrevented || event.ctrlKey || event.metaKey || event.shiftKey) return;
    if (settled() && !disputed.size) return;
    event.preventDefault();
    afterKeeping(() => location.assign(link.href));
  });
  document.addEventListener("submit", function (event) {
    if (event.defaultPrevented || event.target.hasAttribute("hx-post")) return;
    if (settled() && !disputed.size) return;
    event.preventDefault();
    afterKeeping(() => event.target.submit());
  });

  document.addEventListener("htmx:configRequest", function (event) {
    if (/\/(details|hand-over|another)$/.test(event.detail.path)) putChanges(event.detail.parameters);
  });
  document.addEventListener("htmx:afterRequest", function (event) {
    const config = event.detail.requestConfig;
    if (!config || !config.path.endsWith("/details") || !event.detail.successful) return;
    for (const clash of clashes.children) disputed.add(clash.dataset.field);
    for (const name of names) {
      if (config.parameters.has(name) && !disputed.has(name)) {
        shown.set(name, config.parameters.get(name));
      }
    }
  });

  /* Of two texts for one field a person says which stays. */
  clashes.addEventListener("click", function (event) {
    const button = event.target.closest("button");
    if (!button) return;
    const clash = button.closest(".clash");
    const name = clash.dataset.field;
    shown.set(name, clash.dataset.theirs);
    if (button.dataset.take === "theirs") put(name, clash.dataset.theirs);
    disputed.delete(name);
    clash.remove();
    if (!disputed.size) problem.replaceChildren();
    const field = form.elements[name];
    (field instanceof RadioNodeList ? field[0] : field).focus();
    window.htmx.trigger(form, "keep");
  });
  /* What another desk wrote is shown where nothing was written here. */
  document.addEventListener("htmx:load", function (event) {
    if (event.detail.elt.id !== "newest") return;
    for (const [name, value] of Object.entries(JSON.parse(event.detail.elt.dataset.values))) {
      if (disputed.has(name) || valueOf(name) !== shown.get(name)) continue;
      if (value !== shown.get(name)) put(name, value);
      shown.set(name, value);
    }
    tellWhetherMusic();
  });
  window.addEventListener("focus", function () {
    if (!slipNumber()) return;
    looking = true;
    window.htmx.trigger(form, "keep");
    looking = false;
  });

  form.addEventListener("focusout", () => window.htmx.trigger(form, "keep"));
  form.elements.urgent.addEventListener("change", () => window.htmx.trigger(form, "keep"));
  for (const place of [form, heardForm]) {
    place.addEventListener("input", () => document.getElementById("ask-once").replaceChildren());
  }
  document.addEventListener("asheard:back", () => window.htmx.trigger(form, "keep"));

  /* The page goes without asking (closed, reloaded): the browser sends the rest by itself. */
  function sendOn(address, fields) {
    const token = JSON.parse(document.body.getAttribute("hx-headers"))["X-CSRFToken"];
    const body = new URLSearchParams(fields);
    for (const input of document.querySelectorAll("#the-slip input")) body.set(input.name, input.value);
    fetch(address, {
      method: "POST", body: body, keepalive: true,
      headers: { "X-CSRFToken": token, "HX-Request": "true" },
    }).catch(() => { /* nobody is there to be told */ });
  }
  window.addEventListener("pagehide", function () {
    if (changed().length) {
      const fields = new FormData();
      putChanges(fields);
      fields.set("purpose", valueOf("purpose"));
      sendOn(form.getAttribute("hx-post"), fields);
    }
    if (!heardKept()) sendOn(heardForm.getAttribute("hx-post"), new FormData(heardForm));
  });
  window.addEventListener("beforeunload", function (event) {
    const away = document.getElementById("lost").firstChild || problem.querySelector('[data-status="401"]');
    if (disputed.size || (away && !settled())) event.preventDefault();
  });
})();
