"""A live job for the bench: ``assistant run`` as its own process on null sinks, and recorders of both its ends.

Both null sinks take their time from the kernel's monotonic clock, and so do the stamps that the recorders put on what
arrives. Each stream is laid on that clock by its earliest arrival, so the two agree within one step of a sink: 10 ms.
"""

from __future__ import annotations

import os
import re
import signal
import subprocess
import sys
import tempfile
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from audio_fixtures.make_talks import RATE, speech
from tests.bench.sound_times import Samples, zero_time
from tests.devices.pulse import LOUDSPEAKER, MICROPHONE, RECORD_HZ, PulseBay, needed
from tests.devices.waiting import until

ROOT = Path(__file__).parents[2]
PROCEDURE = "tests/procedure/good/bench-check.yaml"
DEVICES = ("--microphone", MICROPHONE, "--loudspeaker", LOUDSPEAKER)
LINE = re.compile(r"\s*\d+:\d\d  (\w+) +(.*)")
FLOOR_DB = -58.0
PATIENCE_S = 30.0


class Recorder:
    """Records one end of the bay and stamps every piece as it comes."""

    def __init__(self, process: subprocess.Popen[bytes]) -> None:
        self._process = process
        self._pieces: list[bytes] = []
        self._bytes = 0
        self._arrivals: list[tuple[float, int]] = []
        self._thread = threading.Thread(target=self._read, daemon=True)
        self._thread.start()

    def _read(self) -> None:
        assert self._process.stdout
        while piece := self._process.stdout.read1(4096):
            at = time.monotonic()
            self._pieces.append(piece)
            self._bytes += len(piece)
            self._arrivals.append((at, self._bytes // 2))

    @property
    def seconds(self) -> float:
        """How much was recorded."""
        return self._bytes / 2 / RECORD_HZ

    @property
    def began_at(self) -> float:
        """The monotonic time of the first sample."""
        return zero_time(list(self._arrivals), RECORD_HZ)

    def between(self, start: float, end: float) -> Samples:
        """Return the samples between two monotonic times, shape (n,)."""
        data = b"".join(self._pieces)
        samples = np.frombuffer(data[: len(data) // 2 * 2], dtype="<i2")
        began = self.began_at
        first, last = (max(0, round((at - began) * RECORD_HZ)) for at in (start, end))
        return samples[first:last].astype(np.int16)

    def close(self) -> None:
        """Stop recording."""
        self._process.kill()
        self._process.wait()
        self._thread.join()


@dataclass(frozen=True, slots=True)
class Line:
    """One line of the dialogue and the monotonic time at which it came."""

    label: str
    text: str
    at: float


class Job:
    """``assistant run`` as its own process; ``lines`` grows as the dialogue does."""

    def __init__(self, home: Path, *options: str) -> None:
        self.lines: list[Line] = []
        self.began_at = time.monotonic()
        self._errors = (home / "errors.txt").open("w+", encoding="utf-8")
        self.process = subprocess.Popen(
            [sys.executable, "-m", "assistant", "run", PROCEDURE, *DEVICES, *options], cwd=ROOT, text=True,
            env=os.environ | {"ASSISTANT_HOME": str(home)},
            stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=self._errors,
        )  # fmt: skip
        self._thread = threading.Thread(target=self._read, daemon=True)
        self._thread.start()

    def _read(self) -> None:
        assert self.process.stdout
        for text in self.process.stdout:
            if found := LINE.fullmatch(text.rstrip("\n")):
                self.lines.append(Line(found[1], found[2], time.monotonic()))

    def wait(self, happened: Callable[[], bool], what: str, seconds: float = PATIENCE_S) -> None:
        """Wait until it ``happened``, at most so many ``seconds``; fail with its own words if it ends."""

        def look() -> bool:
            if self.process.poll() is not None and not happened():
                self._errors.seek(0)
                raise RuntimeError(f"`assistant run` ended before {what}: {self._errors.read()}")
            return happened()

        until(look, what, seconds)

    def first(self, label: str, since: int = 0) -> Line | None:
        """Return the first line with this label from line number ``since`` on."""
        return next((line for line in self.lines[since:] if line.label == label), None)

    def close(self) -> None:
        """End the job as Control-C does."""
        self.process.send_signal(signal.SIGINT)
        try:
            self.process.wait(timeout=10)
        except subprocess.TimeoutExpired:
            self.process.kill()
            self.process.wait()
        self._errors.close()


def spoken(word: str) -> Samples:
    """Return the sound of ``word`` as it is spoken in a bay, 16 kHz, shape (n,)."""
    return np.rint(32767 * 0.8 * speech(word, "rms")).astype(np.int16)


class Bay:
    """The two ends of a bay, recorded, and a room that is never digitally silent."""

    def __init__(self, pulse: PulseBay) -> None:
        self.pulse = pulse
        self.microphone = Recorder(pulse.monitor("microphone"))
        self.loudspeaker = Recorder(pulse.monitor("loudspeaker"))
        self._room: subprocess.Popen[bytes] | None = None

    def room(self, samples: Samples) -> None:
        """Let the room sound like ``samples``, shape (n,), 16 kHz, from now on, in place of what it was."""
        if self._room:
            self._room.kill()
            self._room.wait()
        self._room = self.pulse.speak(samples, RATE)

    def speak(self, word: str) -> None:
        """Speak ``word`` into the microphone and wait until it is spoken."""
        pause = np.zeros(RATE // 10, np.int16)
        self.pulse.speak(np.concatenate([pause, spoken(word), pause]), RATE).wait()

    def is_silent(self, seconds: float) -> bool:
        """Whether nothing came out of the loudspeaker for so long."""
        now = time.monotonic()
        last = self.loudspeaker.between(now - seconds - 0.1, now)
        return not last.size or int(np.abs(last.astype(int)).max()) <= 60

    def close(self) -> None:
        """Stop everything that sounds or records."""
        if self._room:
            self._room.kill()
            self._room.wait()
        self.microphone.close()
        self.loudspeaker.close()


def hiss(seconds: float, level_db: float = FLOOR_DB) -> Samples:
    """Return the noise floor of a quiet room, 16 kHz, white, of this level [dBFS], shape (n,)."""
    noise = np.random.default_rng(3).standard_normal(round(seconds * RATE)) * 10 ** (level_db / 20)
    return np.rint(32767 * np.clip(noise, -1, 1)).astype(np.int16)


@contextmanager
def bay() -> Iterator[Bay]:
    """Open a bay with a quiet room; this process and its children find its devices."""
    if missing := needed():
        raise RuntimeError(missing)
    before = dict(os.environ)
    with tempfile.TemporaryDirectory(prefix="bay-") as folder, PulseBay(Path(folder)) as pulse:
        os.environ.update(pulse.environment)
        opened = Bay(pulse)
        try:
            opened.room(hiss(600))
            yield opened
        finally:
            opened.close()
            os.environ.clear()
            os.environ.update(before)


@contextmanager
def job(*options: str) -> Iterator[Job]:
    """Start a job in a bay that is open, with ``options``, and a data folder of its own beside the project's files."""
    with tempfile.TemporaryDirectory(dir=ROOT, prefix=".bench-", ignore_cleanup_errors=True) as home:
        started = Job(Path(home), *options)
        try:
            yield started
        finally:
            started.close()
