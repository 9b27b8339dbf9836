// The sound of the phone, on the browser's own audio thread: takes the microphone in pieces of 20 ms, plays the voice.
"use strict";

// Held back before the voice begins (BUFFER_S in assistant/phone/headset.py), and the most that may lie there [s].
var BEGIN_S = 0.06, MOST_S = 0.3, TOLD_S = 0.5;

class Headset extends AudioWorkletProcessor {
  constructor() {
    super();
    this.piece = new Float32Array(Math.round(sampleRate / 50));
    this.filled = 0;
    this.waiting = []; // pieces of the voice, oldest first
    this.held = 0; // samples in them
    this.at = 0; // how far the oldest was played
    this.plays = false;
    this.cut = 0; // samples that were left out, because they came too late
    this.told = 0;
    this.port.onmessage = (message) => {
      this.waiting.push(message.data);
      this.held += message.data.length;
      if (this.held <= MOST_S * sampleRate) { return; }
      while (this.held > BEGIN_S * sampleRate && this.waiting.length > 1) {
        var old = this.waiting.shift();
        this.held -= old.length - this.at;
        this.cut += old.length - this.at;
        this.at = 0;
      }
    };
  }

  take(samples) {
    for (var n = 0; n < samples.length; n += 1) {
      this.piece[this.filled] = samples[n];
      this.filled += 1;
      if (this.filled === this.piece.length) {
        this.port.postMessage({ sound: this.piece }, [this.piece.buffer]);
        this.piece = new Float32Array(Math.round(sampleRate / 50));
        this.filled = 0;
      }
    }
  }

  give(out) {
    if (!this.plays && this.held >= BEGIN_S * sampleRate) { this.plays = true; }
    for (var n = 0; n < out.length && this.plays; n += 1) {
      out[n] = this.waiting[0][this.at];
      this.at += 1;
      this.held -= 1;
      if (this.at === this.waiting[0].length) {
        this.waiting.shift();
        this.at = 0;
        this.plays = this.waiting.length > 0;
      }
    }
  }

  process(inputs, outputs) {
    var heard = inputs[0][0];
    if (heard) { this.take(heard); }
    this.give(outputs[0][0]);
    if (currentTime - this.told >= TOLD_S) {
      this.told = currentTime;
      this.port.postMessage({ cut: this.cut, held: this.held / sampleRate });
    }
    return true;
  }
}

registerProcessor("headset", Headset);
