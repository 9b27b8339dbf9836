// Photos of the job: the newest one large for some seconds, those of before, and the way of a new one from this page.
"use strict";

var photos = (function () {
  var LARGEST_SIDE = 1920; // as the assistant keeps them (assistant/pictures/drawing.py)
  var MOST_BEFORE = 4;
  var stream = null;
  var boot = "";
  var snaps = 0;
  var wanted = false; // asked for by voice, and neither pressed nor taken since
  var newest = "";
  var sending = false;
  var allowed = false; // whether there is a job to take photos of
  var hides = 0;

  function at(id) { return document.getElementById(id); }

  function say(text, isFault) {
    at("photo-answer").textContent = text;
    at("photo-answer").className = isFault ? "fault" : "";
  }

  // What is shown

  function draw(now) {
    drawBefore(now.before || []); // between jobs there is none
    drawTaken(now.taken, now.age_ms);
    if (!at("snap")) { return; }
    var asked = boot === now.boot && now.snaps > snaps;
    if (boot !== now.boot || now.mode === "idle" || (now.taken && now.taken.address !== newest)) { wanted = false; }
    newest = now.taken ? now.taken.address : newest;
    boot = now.boot;
    snaps = now.snaps;
    if (asked && stream) { snap(); } else if (asked) { wanted = true; }
    at("snap").classList.toggle("wanted", Boolean(now.photo_wanted || wanted));
  }

  function drawBefore(before) {
    var parent = at("before"), key = before.map(function (one) { return one.address; }).join();
    parent.hidden = before.length === 0;
    if (parent.getAttribute("data-shown") === key) { return; }
    parent.setAttribute("data-shown", key);
    parent.textContent = "";
    before.slice(-MOST_BEFORE).forEach(function (one) {
      var figure = parent.appendChild(document.createElement("figure"));
      var image = figure.appendChild(document.createElement("img"));
      image.alt = one.name;
      image.src = one.address;
      figure.appendChild(document.createElement("figcaption")).textContent = "Before: " + one.name;
    });
  }

  function drawTaken(taken, age) {
    var left = taken ? taken.left_ms - age : 0;
    clearTimeout(hides);
    at("taken").hidden = left <= 0;
    if (left <= 0) { return; }
    // The touch buttons stay in sight, and can be pressed.
    at("taken").style.setProperty("bottom", (at("touch") ? at("touch").offsetHeight : 0) + "px");
    if (at("taken-photo").getAttribute("src") !== taken.address) { at("taken-photo").src = taken.address; }
    at("taken-photo").alt = taken.name;
    at("taken-name").textContent = taken.name;
    hides = setTimeout(hide, left);
  }

  function hide() { at("taken").hidden = true; }

  // A photo of this page

  function enable(now) {
    allowed = now;
    if (at("snap")) { at("snap").disabled = sending || !allowed; }
  }

  function snap() {
    if (sending || !allowed) { return; }
    wanted = false;
    if (!stream) {
      at("photo-file").click();
      return;
    }
    var video = at("viewfinder");
    send(shrunk(video, video.videoWidth, video.videoHeight));
  }

  function chosen() {
    var file = at("photo-file").files[0];
    at("photo-file").value = "";
    if (!file) { return; }
    var whole = window.createImageBitmap ? createImageBitmap(file, { imageOrientation: "from-image" }) : Promise.reject();
    send(whole.then(function (image) { return shrunk(image, image.width, image.height); }).catch(function () { return file; }));
  }

  // A promise of what is shown by an image or a video, as a JPEG with sides of at most LARGEST_SIDE.
  function shrunk(source, width, height) {
    var share = Math.min(1, LARGEST_SIDE / Math.max(width, height));
    var canvas = document.createElement("canvas");
    canvas.width = Math.max(1, Math.round(width * share));
    canvas.height = Math.max(1, Math.round(height * share));
    canvas.getContext("2d").drawImage(source, 0, 0, canvas.width, canvas.height);
    return new Promise(function (done, failed) {
      canvas.toBlob(function (blob) { if (blob) { done(blob); } else { failed(); } }, "image/jpeg", 0.9);
    });
  }

  function send(making) {
    sending = true;
    enable(allowed);
    say("Sending the photo.", false);
    making.then(function (blob) {
      return fetch("/photo", { method: "POST", headers: { "Content-Type": blob.type || "image/jpeg" }, body: blob });
    }).then(function (answer) {
      return answer.json().catch(function () { return { taken: false, why: "" }; });
    }).then(function (answer) {
      say(answer.taken ? "" : answer.why || "Not taken: look again, then press again.", true);
    }, function () {
      say("Not taken: no connection.", true);
    }).then(function () {
      sending = false;
      enable(allowed);
    });
  }

  // The camera of this page, where the browser lets it: on this computer, or over HTTPS.
  function turn() {
    if (stream) {
      stream.getTracks().forEach(function (track) { track.stop(); });
      shown(null);
      return;
    }
    navigator.mediaDevices.getUserMedia({ video: { facingMode: "environment", width: { ideal: LARGEST_SIDE } } }).then(shown, function () {
      say("The camera of this device is not to be had: allow it in the browser, or press photo.", true);
    });
  }

  function shown(found) {
    stream = found;
    at("viewfinder").srcObject = found;
    at("viewfinder").hidden = !found;
    at("page-camera").textContent = found ? "Camera off" : "Camera on";
    if (found) {
      at("viewfinder").play();
      found.getVideoTracks()[0].addEventListener("ended", function () { shown(null); });
    }
    say("", false);
  }

  at("taken").addEventListener("click", hide);
  if (at("snap")) {
    at("snap").addEventListener("click", snap);
    at("photo-file").addEventListener("change", chosen);
    at("page-camera").addEventListener("click", turn);
    at("page-camera").hidden = !(window.isSecureContext && navigator.mediaDevices);
  }
  return { draw: draw, enable: enable };
})();
