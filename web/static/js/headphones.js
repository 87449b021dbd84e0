/* Choosing the headphones of this desk, once. A browser can send sound to a chosen output only at a
   secure address, and names the outputs only if it is allowed to; where it cannot, that is said.
   Only the output's own token is kept here, for this browser. */
"use strict";
(function () {
  const TONE_HZ = 440, TONE_S = 0.8, QUIET = 0.08;
  const place = document.getElementById("outputs");
  if (!place) return;
  const list = document.getElementById("output");
  const said = document.getElementById("output-said");
  const name = document.getElementById("output-names");
  const devices = navigator.mediaDevices;
  const able = window.isSecureContext && devices && "setSinkId" in HTMLMediaElement.prototype;
  const kept = () => { try { return localStorage.getItem("headphones") || ""; } catch (_) { return ""; } };
  function keep(id) { try { localStorage.setItem("headphones", id); } catch (_) { /* not kept */ } }

  function show() {
    return devices.enumerateDevices().then(function (all) {
      const outputs = all.filter((one) => one.kind === "audiooutput" && one.deviceId && one.label);
      name.hidden = outputs.length > 0;
      list.replaceChildren(new Option(place.dataset.usual, ""));
      for (const one of outputs) {
        if (one.deviceId !== "default") list.append(new Option(one.label, one.deviceId));
      }
      list.value = kept();
      const gone = kept() && list.value !== kept() && outputs.length;
      if (gone) { list.value = ""; said.textContent = place.dataset.gone; }
    });
  }
  if (able) {
    list.parentElement.hidden = false;
    said.textContent = place.dataset.able;
    show();
    /* Outputs have names only once the browser may use the microphone; it is let go at once. */
    name.addEventListener("click", function () {
      devices.getUserMedia({ audio: true }).then(function (stream) {
        for (const track of stream.getTracks()) track.stop();
        return show();
      }).catch(() => { said.textContent = place.dataset.refused; });
    });
    list.addEventListener("change", () => keep(list.value));
  } else {
    said.textContent = place.dataset.unable;
  }

  document.getElementById("tone").addEventListener("click", async function () {
    const sound = new AudioContext();
    try {
      if (able && list.value && sound.setSinkId) await sound.setSinkId(list.value);
    } catch (_) {
      said.textContent = place.dataset.gone;
      sound.close();
      return;
    }
    const tone = sound.createOscillator();
    const level = sound.createGain();
    tone.frequency.value = TONE_HZ;
    level.gain.value = QUIET;
    tone.connect(level).connect(sound.destination);
    tone.onended = () => sound.close();
    tone.start();
    tone.stop(sound.currentTime + TONE_S);
  });
})();
