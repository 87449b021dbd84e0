/* Listening to a file in the headphones, and attaching the recording of a caller. */
"use strict";
(function () {
  const answer = document.getElementById("answer");
  const ear = document.getElementById("ear");
  if (!answer || !ear) return;
  const sound = document.getElementById("ear-sound");
  const title = document.getElementById("ear-title");
  let playing = "";

  function stop() {
    sound.pause();
    sound.removeAttribute("src");
    ear.hidden = true;
    playing = "";
  }
  function listen(button) {
    if (playing === button.dataset.sound) { stop(); return; }
    playing = button.dataset.sound;
    title.textContent = button.dataset.title;
    const mine = playing;
    ear.hidden = false;
    /* Never where it was not meant to go: with the headphones gone, nothing is played. */
    toHeadphones().then(function () {
      if (playing !== mine) return;
      sound.hidden = false;
      sound.src = playing;
      sound.play().catch(() => { /* told by the error event, or stopped meanwhile */ });
    }, function () {
      sound.hidden = true;
      title.textContent = ear.dataset.notThere;
    });
  }
  function toHeadphones() {
    let chosen = "";
    try { chosen = localStorage.getItem("headphones") || ""; } catch (_) { /* storage shut off */ }
    return chosen && sound.setSinkId ? sound.setSinkId(chosen) : Promise.resolve();
  }
  sound.addEventListener("error", function () {
    if (!playing) return;
    sound.hidden = true;
    title.textContent = ear.dataset.failed;
  });
  sound.addEventListener("ended", stop);
  answer.addEventListener("click", function (event) {
    const button = event.target.closest("button.listen");
    if (button) listen(button);
  });
  /* F8 listens to the row under the hand, else to the first that can be listened to. */
  document.addEventListener("keydown", function (event) {
    if (event.key !== "F8" || event.ctrlKey || event.altKey || event.metaKey) return;
    const row = document.activeElement.closest("li");
    const button = (row && row.querySelector("button.listen")) || answer.querySelector("button.listen");
    if (button) { event.preventDefault(); listen(button); }
  });

  /* The recording is sent as it is, so that no copy of it is made on the way. */
  document.addEventListener("change", function (event) {
    const input = event.target.closest("#recording-file");
    if (!input || !input.files.length) return;
    const slip = document.querySelector("#the-slip [name=slip]").value;
    const token = JSON.parse(document.body.getAttribute("hx-headers"))["X-CSRFToken"];
    const file = input.files[0];
    input.disabled = true;
    fetch(input.dataset.address + "?slip=" + encodeURIComponent(slip), {
      method: "POST",
      body: file,
      headers: {
        "X-CSRFToken": token,
        "X-File-Name": encodeURIComponent(file.name),
        "HX-Request": "true",
        "Content-Type": "application/octet-stream",
      },
    }).then((reply) => reply.text().then((words) => [reply.ok, words])).then(function ([ok, words]) {
      const place = document.getElementById(ok ? "recorded" : "problem");
      const parsed = new DOMParser().parseFromString(words, "text/html").body.children;
      if (ok) {
        place.replaceWith(...parsed);
        document.getElementById("problem").replaceChildren();
        window.htmx.process(document.getElementById("recorded"));
      } else place.replaceChildren(...parsed);
      input.disabled = false;
    }).catch(function () { input.disabled = false; input.value = ""; });
  });
})();
