/* The camera as a reader, where the page came securely: the browser's own reader of codes if it
   has one, else the one that lies beside this page and is fetched only then. What is read goes out
   as "asheard:scanned". Where it cannot be, the page says why, and typing goes on. */
"use strict";
(function () {
  const LOOK_MS = 150;      /* between two looks at the picture */
  const SAME_MS = 2500;     /* a label held in front of the camera is read once */
  const WIDE = 960;         /* pixels that are looked at: enough for the bars of a label a hand away */
  const FORMATS = ["code_128", "qr_code", "ean_13", "upc_a"];
  const button = document.getElementById("camera");
  const place = document.getElementById("camera-place");
  const video = document.getElementById("camera-video");
  const said = document.getElementById("camera-said");
  let stream = null;
  let timer = 0;
  let last = "";
  let lastAt = -1e9;

  async function own() {
    if (!("BarcodeDetector" in window)) return null;
    const known = await window.BarcodeDetector.getSupportedFormats();
    if (!known.includes("code_128") || !known.includes("qr_code")) return null;
    const detector = new window.BarcodeDetector({ formats: FORMATS.filter((format) => known.includes(format)) });
    return async () => (await detector.detect(video)).map((code) => code.rawValue)[0] || "";
  }
  function fetched() {
    if (window.ZXing) return Promise.resolve();
    return new Promise(function (done, failed) {
      const script = document.createElement("script");
      script.src = place.dataset.decoder;
      script.onload = done;
      script.onerror = () => failed(new Error("no decoder"));
      document.head.append(script);
    });
  }
  async function beside() {
    await fetched();
    const zxing = window.ZXing;
    const reader = new zxing.MultiFormatReader();
    const formats = [zxing.BarcodeFormat.CODE_128, zxing.BarcodeFormat.QR_CODE, zxing.BarcodeFormat.EAN_13, zxing.BarcodeFormat.UPC_A];
    reader.setHints(new Map([[zxing.DecodeHintType.POSSIBLE_FORMATS, formats], [zxing.DecodeHintType.TRY_HARDER, true]]));
    const canvas = document.createElement("canvas");
    const drawing = canvas.getContext("2d", { willReadFrequently: true });
    return async function () {
      const share = Math.min(1, WIDE / video.videoWidth);
      canvas.width = Math.round(video.videoWidth * share);
      canvas.height = Math.round(video.videoHeight * share);
      drawing.drawImage(video, 0, 0, canvas.width, canvas.height);
      try {
        const light = new zxing.HTMLCanvasElementLuminanceSource(canvas);
        return reader.decode(new zxing.BinaryBitmap(new zxing.HybridBinarizer(light))).getText();
      } catch (error) {
        return "";   /* no code in this picture */
      }
    };
  }

  function stop() {
    clearTimeout(timer);
    if (stream) for (const track of stream.getTracks()) track.stop();
    stream = null;
    video.srcObject = null;
    video.hidden = true;
    button.textContent = place.dataset.start;
    button.setAttribute("aria-expanded", "false");
  }
  function cannot(why) {
    stop();
    place.hidden = false;
    said.textContent = why;
  }

  function read(text) {
    const now = performance.now();
    if (!text || (text === last && now - lastAt < SAME_MS)) { if (text) lastAt = now; return; }
    last = text;
    lastAt = now;
    if (navigator.vibrate) navigator.vibrate(60);
    document.dispatchEvent(new CustomEvent("asheard:scanned", { detail: text }));
  }

  async function start() {
    place.hidden = false;
    if (!window.isSecureContext) { cannot(place.dataset.notSecure); return; }
    if (!navigator.mediaDevices) { cannot(place.dataset.none); return; }
    try {
      stream = await navigator.mediaDevices.getUserMedia({ audio: false,
        video: { facingMode: { ideal: "environment" }, width: { ideal: 1280 }, height: { ideal: 720 } } });
    } catch (error) {
      cannot(error.name === "NotAllowedError" ? place.dataset.denied : place.dataset.none);
      return;
    }
    video.hidden = false;
    video.srcObject = stream;
    button.textContent = place.dataset.stop;
    button.setAttribute("aria-expanded", "true");
    said.textContent = place.dataset.looking;
    await video.play();
    let look;
    try {
      look = (await own()) || (await beside());
    } catch (error) {
      cannot(place.dataset.noDecoder);
      return;
    }
    const again = async function () {
      if (!stream) return;
      if (video.videoWidth) read(await look());
      timer = setTimeout(again, LOOK_MS);
    };
    again();
  }

  button.addEventListener("click", function () {
    if (stream) { stop(); place.hidden = true; } else start();
  });
  /* Nobody is filmed while the page is not looked at. */
  document.addEventListener("visibilitychange", () => { if (document.hidden && stream) { stop(); place.hidden = true; } });
})();
