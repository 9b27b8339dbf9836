// Makes this phone the headset of the bay: its microphone and its loudspeaker, over one WebSocket (assistant/phone/).
"use strict";

(function () {
  var AGAIN_MS = 700, STATUS_MS = 500, SILENT_MS = 3000; // six signs of life did not come
  var OPUS = { codec: "opus", sampleRate: 48000, numberOfChannels: 1, bitrate: 32000 };
  var SPEAKS = { codec: "opus", sampleRate: 48000, numberOfChannels: 1 };
  var ASKED = { audio: { echoCancellation: true, noiseSuppression: false, autoGainControl: false, channelCount: 1 } };
  var WHY = {
    NotAllowedError: "The microphone is not allowed here. Allow it for this page in the browser, then touch again.",
    NotFoundError: "This device has no microphone.",
    NotReadableError: "Another program has the microphone. End that one, then touch again."
  };
  var ENDED = {
    moved: "Another phone is the headset now. Touch to take it back.",
    ended: "This phone is no headset any more."
  };
  var button = document.getElementById("headset-button");
  var client = hexadecimal(16);
  var wanted = false; // whether somebody asked for it
  var socket = null, isOn = false, waits = null;
  var stream = null, context = null, node = null, codec = "pcm", encoder = null, decoder = null;
  var number = 0, got = 0, missed = 0, cut = 0, awake = null, newsAt = 0;

  if (!button) { return; }

  function hexadecimal(bytes) {
    return Array.prototype.map.call(crypto.getRandomValues(new Uint8Array(bytes)), function (one) {
      return (256 + one).toString(16).slice(1);
    }).join("");
  }

  function tell(text, trouble) {
    var state = document.getElementById("headset-state");
    state.textContent = text;
    state.className = trouble ? "trouble" : "";
  }

  function show() {
    document.body.setAttribute("data-headset", isOn ? "on" : wanted ? "waits" : "off");
    button.textContent = wanted ? "End the headset" : "Use this phone as headset";
    button.setAttribute("aria-pressed", String(wanted));
    window.dispatchEvent(new Event("resize")); // the page fits itself anew (display.js)
  }

  // The sound of this phone

  function begin() {
    wanted = true;
    show();
    tell("Asking for the microphone.");
    // In the touch itself: phones let a page sound only then.
    context = made(48000);
    choose().then(function () {
      return navigator.mediaDevices.getUserMedia(ASKED);
    }).then(function (given) {
      stream = given;
      stream.getAudioTracks()[0].addEventListener("ended", function () { stop("The phone took the microphone away.", true); });
      return join();
    }).then(function () {
      if (wanted) { connect(); } else { release(); }
    }).catch(function (fault) {
      stop(WHY[fault.name] || "The sound of this phone cannot be used (" + (fault.name || fault) + ").", true);
    });
  }

  function made(rate) {
    try {
      return new AudioContext({ sampleRate: rate, latencyHint: "interactive" });
    } catch (fault) {
      return new AudioContext();
    }
  }

  // Opus where the browser has it, else plain samples: the network of a workshop carries them easily.
  function choose() {
    var plain = new URLSearchParams(location.search).get("codec") === "pcm" || context.sampleRate !== 48000;
    codec = "pcm";
    if (plain || !window.AudioEncoder || !window.AudioDecoder) { return Promise.resolve(); }
    return Promise.all([AudioEncoder.isConfigSupported(OPUS), AudioDecoder.isConfigSupported(SPEAKS)]).then(function (can) {
      if (can[0].supported && can[1].supported) { codec = "opus"; }
    }).catch(function () { codec = "pcm"; });
  }

  function join() {
    return context.audioWorklet.addModule("/static/headset-worklet.js").then(function () {
      node = new AudioWorkletNode(context, "headset", { outputChannelCount: [1] });
      node.port.onmessage = function (message) {
        if (message.data.sound) { heard(message.data.sound); } else { cut = message.data.cut; }
      };
      context.createMediaStreamSource(stream).connect(node);
      node.connect(context.destination);
      context.onstatechange = function () {
        if (context && context.state !== "running" && context.state !== "closed") {
          tell("The phone paused the sound. Touch the page to go on.", true);
        }
      };
      return context.resume();
    });
  }

  function heard(samples) {
    if (!isOn) { return; }
    if (codec === "opus") {
      var data = new AudioData({
        format: "f32", sampleRate: context.sampleRate, numberOfFrames: samples.length, numberOfChannels: 1,
        timestamp: number * 20000, data: samples
      });
      number += 1;
      encoder.encode(data);
      data.close();
      return;
    }
    var plain = new Int16Array(samples.length);
    for (var n = 0; n < samples.length; n += 1) {
      plain[n] = Math.max(-32768, Math.min(32767, Math.round(samples[n] * 32767)));
    }
    send(number, new Uint8Array(plain.buffer));
    number += 1;
  }

  // A piece that finds half a second waiting before it is left out; the bay sees by the numbers that it is missing.
  function send(place, sound) {
    var most = codec === "opus" ? 4000 : context.sampleRate;
    if (!socket || socket.readyState !== 1 || socket.bufferedAmount > most) { return; }
    var message = new Uint8Array(4 + sound.length);
    new DataView(message.buffer).setUint32(0, place);
    message.set(sound, 4);
    socket.send(message);
  }

  function coders() {
    var place = 0;
    if (codec !== "opus") { return; }
    encoder = new AudioEncoder({
      output: function (chunk) {
        var sound = new Uint8Array(chunk.byteLength);
        chunk.copyTo(sound);
        send(place, sound);
        place += 1;
      },
      error: broken
    });
    encoder.configure(OPUS);
    decoder = new AudioDecoder({
      output: function (data) {
        var samples = new Float32Array(data.numberOfFrames);
        data.copyTo(samples, { planeIndex: 0, format: "f32-planar" });
        data.close();
        if (node) { node.port.postMessage(samples, [samples.buffer]); }
      },
      error: broken
    });
    decoder.configure(SPEAKS);
  }

  function broken() { stop("The sound of this phone broke. Touch to begin anew.", true); }

  function play(data) {
    var place = new DataView(data).getUint32(0), sound = new Uint8Array(data, 4);
    missed += Math.max(0, place - got - 1);
    got = place;
    if (codec === "opus") {
      decoder.decode(new EncodedAudioChunk({ type: "key", timestamp: place * 20000, data: sound }));
      return;
    }
    var plain = new DataView(data, 4), samples = new Float32Array(sound.length / 2);
    for (var n = 0; n < samples.length; n += 1) { samples[n] = plain.getInt16(2 * n, true) / 32768; }
    node.port.postMessage(samples, [samples.buffer]);
  }

  // The line to the bay

  function connect(again) {
    if (!wanted || socket) { return; }
    var line = new WebSocket(location.origin.replace("http", "ws") + "/phone/sound");
    socket = line;
    line.binaryType = "arraybuffer";
    line.onopen = function () {
      line.send(JSON.stringify({ client: client, codec: codec, rate: context.sampleRate, again: Boolean(again) }));
    };
    line.onmessage = function (message) {
      if (line !== socket) { return; }
      newsAt = Date.now();
      if (typeof message.data === "string") { said(JSON.parse(message.data)); } else { play(message.data); }
    };
    line.onclose = function () {
      if (line === socket) { gone(); }
    };
  }

  function said(news) {
    if (news.state === "on") {
      number = got = missed = 0;
      coders();
      isOn = true;
      show();
      tell(news.moved ? "This phone is the headset now. Another one was it before." : "This phone is the headset.");
      keepAwake();
    } else if (news.state === "moved") {
      stop(ENDED.moved, true);
    }
  }

  function gone() {
    socket = null;
    isOn = false;
    dropCoders();
    if (!wanted) { return; }
    show();
    tell("The assistant is not reached. Trying again.", true);
    waits = setTimeout(function () { connect(true); }, AGAIN_MS);
  }

  function status(ends) {
    if (isOn && Date.now() - newsAt > SILENT_MS) { // out of reach, which a browser notices minutes later
      socket.close();
      gone();
    }
    if (!socket || socket.readyState !== 1 || !isOn) { return; }
    var delay = context ? context.outputLatency || context.baseLatency || 0 : 0;
    socket.send(JSON.stringify({ got: got, delay_ms: Math.round(1000 * delay), ends: ends }));
    if (missed || cut > 0.2 * (context ? context.sampleRate : 1)) {
      missed = 0;
      cut = 0;
      tell("Some of the voice was lost on the way. Say repeat.", true);
    }
  }

  function dropCoders() {
    [encoder, decoder].forEach(function (coder) {
      if (coder && coder.state !== "closed") { coder.close(); }
    });
    encoder = decoder = null;
  }

  function release() {
    if (stream) { stream.getTracks().forEach(function (track) { track.stop(); }); }
    if (context) { context.onstatechange = null; context.close(); }
    stream = context = node = null;
    if (awake) { awake.release(); awake = null; }
  }

  function stop(text, trouble) {
    var line = socket;
    clearTimeout(waits);
    wanted = isOn = false;
    socket = null;
    if (line) { line.close(); }
    dropCoders();
    release();
    show();
    tell(text, trouble);
  }

  // A phone that goes to sleep would take its microphone with it.
  function keepAwake() {
    if (!isOn || awake || !navigator.wakeLock) { return; }
    navigator.wakeLock.request("screen").then(function (lock) {
      awake = lock;
      lock.addEventListener("release", function () { awake = null; });
    }).catch(function () { /* it sleeps then, when it is left alone */ });
  }

  button.addEventListener("click", function () {
    if (!window.isSecureContext || !navigator.mediaDevices) { location.assign("/phone"); return; }
    if (wanted) { status(true); stop(ENDED.ended, false); } else { begin(); }
  });
  document.addEventListener("click", function () {
    if (context && context.state !== "running" && wanted) { context.resume().then(function () { if (isOn) { tell("This phone is the headset."); } }); }
  });
  document.addEventListener("visibilitychange", keepAwake);
  setInterval(function () { status(false); }, STATUS_MS);
  show();
})();
