"""A workshop without hardware: the real ``assistant`` as its own process, and a polite mechanic who talks to it."""

import json
import os
import re
import signal
import subprocess
import sys
import threading
import time
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from types import MappingProxyType

import numpy as np
import soxr
import vosk

from audio_fixtures.make_talks import RATE, speech
from tests.devices.pulse import LOUDSPEAKER, MICROPHONE, RECORD_HZ, PulseBay, Recording

ROOT = Path(__file__).parents[2]
LINE = re.compile(r"\s*\d+:\d\d  (\w+) +(.*)")
QUIET = 60
"""Samples below this (of 32767) are silence: a null sink adds no noise of its own."""


@dataclass(frozen=True)
class Line:
    """One line of the dialogue, and how many samples of the loudspeaker had been recorded when it came."""

    label: str
    text: str
    at: int


class Assistant:
    """The command as its own process; its dialogue is read as it comes."""

    def __init__(
        self,
        home: Path,
        recording: Recording,
        *words: str,
        microphone: str = MICROPHONE,
        more: Mapping[str, str] = MappingProxyType({}),
    ) -> None:
        """Start it with ``words``; ``more`` is laid over its environment."""
        self._attend(recording, subprocess.Popen(
            [sys.executable, "-m", "assistant", *words, "--microphone", microphone, "--loudspeaker", LOUDSPEAKER],
            cwd=ROOT, env=os.environ | {"ASSISTANT_HOME": str(home)} | more, text=True,
            stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.PIPE,
        ))  # fmt: skip

    def _attend(self, recording: Recording, process: subprocess.Popen) -> None:
        """Read the dialogue of ``process`` from now on."""
        self._recording, self.process = recording, process
        self.lines: list[Line] = []
        self._reader = threading.Thread(target=self._read, daemon=True)
        self._reader.start()

    def _read(self) -> None:
        for line in self.process.stdout:
            if match := LINE.fullmatch(line.rstrip("\n")):
                self.lines.append(Line(*match.groups(), self._recording.size))

    def texts(self, label: str) -> list[str]:
        return [line.text for line in self.lines if line.label == label]

    @property
    def job(self) -> str:
        return next(text.split()[1].rstrip(".") for text in self.texts("note") if text.startswith("Job "))

    def until(self, happened: Callable[[], bool], what: str, seconds: float = 40.0) -> None:
        """Wait until it ``happened``; show the dialogue when it does not."""
        began = time.monotonic()
        while not happened():
            if self.process.poll() is not None and not self._reader.is_alive() and not happened():
                raise AssertionError(f"ended before {what}: {self.process.stderr.read()}\n{self.story()}")
            assert time.monotonic() - began < seconds, f"waited {seconds} s for {what}\n{self.story()}"
            time.sleep(0.02)

    def until_said(self, count: int) -> None:
        """Wait for the sentence number ``count`` (from 1), and for silence after it."""
        self.until(lambda: len(self.texts("said")) >= count, f"sentence {count}")
        self.until_silent()

    def type(self, line: str) -> None:
        """Type a line on its keyboard."""
        self.process.stdin.write(f"{line}\n")
        self.process.stdin.flush()

    def tell(self, bay: PulseBay, phrase: str) -> None:
        """Say ``phrase`` as a person would: wait for the answer, and say it again when it was not understood.

        On a busy machine a pause between two of its sentences passes for its silence. A word that fell into the next
        one it cannot hear without a headset: it is said again too, as a person would who was talked over.
        """
        for _ in range(4):
            lines, answers = len(self.lines), len(self.texts("said"))
            began = self._recording.size
            say(bay, phrase).wait()
            if loud(self._recording.so_far(began)) and not self._is_answered(answers, lines):
                self.until_silent(1.0)
                if not self._is_answered(answers, lines):
                    continue
            self.until(lambda: self._is_answered(answers, lines), f"an answer to {phrase}")  # noqa: B023
            if len(self.texts("said")) > answers:
                self.until_silent()
                return
            self.until_silent()
        raise AssertionError(f"{phrase} was not understood\n{self.story()}")

    def _is_answered(self, answers: int, lines: int) -> bool:
        refused = any((line.label, line.text) == ("tone", "not understood") for line in self.lines[lines:])
        return len(self.texts("said")) > answers or refused

    def until_silent(self, seconds: float = 0.5) -> None:
        """Wait until it has spoken and then been silent for so long; after its last sentence it may end instead."""
        last = self.lines[-1].at
        self.until(lambda: loud(self._recording.so_far(last)) or self._has_ended(), "a sound")
        quiet = round(seconds * RECORD_HZ)
        self.until(
            lambda: not loud(self._recording.so_far(self._recording.size - quiet)) or self._has_ended(), "silence"
        )

    def _has_ended(self) -> bool:
        return self.process.poll() is not None and any("is closed" in text for text in self.texts("note"))

    def end(self, number: signal.Signals | None = None) -> int:
        """Send the signal ``number``, if any, and return the exit code."""
        if number is not None:
            self.process.send_signal(number)
        code = self.process.wait(timeout=30)
        self._reader.join(timeout=5)
        return code

    def story(self) -> str:
        return "\n".join(f"{line.label:5} {line.text}" for line in self.lines)

    def __enter__(self):
        return self

    def __exit__(self, *_fault) -> None:
        if self.process.poll() is None:
            self.process.kill()
        self.process.wait()
        for pipe in (self.process.stdin, self.process.stdout, self.process.stderr):
            if pipe is not None:
                pipe.close()


def say(bay: PulseBay, phrase: str) -> subprocess.Popen:
    """Begin to speak ``phrase`` into the microphone."""
    samples = np.concatenate([np.zeros(RATE // 5), 0.8 * speech(phrase, "rms"), np.zeros(RATE // 5)])
    hiss = np.random.default_rng(3).standard_normal(samples.size) * 10 ** (-58 / 20)
    return bay.speak(np.rint(32767 * np.clip(samples + hiss, -1, 1)).astype(np.int16), RATE)


def loud(samples) -> bool:
    return bool(samples.size) and int(np.abs(samples.astype(int)).max()) > QUIET


def speaks(samples) -> np.ndarray:
    """Return for each 20 ms whether the voice sounds: its low band, 100 to 500 Hz, which the tones leave empty."""
    size = RECORD_HZ // 50
    blocks = samples[: samples.size // size * size].astype(float).reshape(-1, size) * np.hanning(size)
    low = np.abs(np.fft.rfft(blocks, axis=1))[:, 2:11].max(axis=1)
    return low > 0.1 * np.percentile(low, 95)


def sentences(samples) -> list:
    """Cut a recording at its silences of 0.15 s and more."""
    places = np.flatnonzero(np.abs(samples.astype(int)) > QUIET)
    if not places.size:
        return []
    gaps = np.flatnonzero(np.diff(places) > 0.15 * RECORD_HZ)
    starts, ends = np.append(places[0], places[gaps + 1]), np.append(places[gaps], places[-1])
    return [samples[start : end + 1] for start, end in zip(starts, ends, strict=True)]


def understood(samples, phrases: list[str]) -> str:
    """Return which of ``phrases`` a piece of the loudspeaker's recording is, in the ear of a plain recogniser."""
    sound = soxr.resample(samples.astype(np.float32), RECORD_HZ, RATE)
    sound = np.concatenate([np.zeros(RATE // 4), sound * (12_000 / np.abs(sound).max()), np.zeros(RATE // 4)])
    sound += np.random.default_rng(5).standard_normal(sound.size) * 8
    data = sound.astype(np.int16).tobytes()
    vosk.SetLogLevel(-1)
    model = vosk.Model(str(ROOT / "models/bay-en"))
    likely = {}
    for phrase in phrases:
        # Each phrase is tried alone, and the likelihoods are compared: together, words of different ones would mix.
        decoder = vosk.KaldiRecognizer(model, RATE, json.dumps([phrase]))
        decoder.SetMaxAlternatives(1)
        told = json.loads(decoder.Result() if decoder.AcceptWaveform(data) else decoder.FinalResult())
        best = told["alternatives"][0]
        if best["text"] == phrase:
            likely[phrase] = best["confidence"]
    return max(likely, key=likely.get, default="")
