"""How fast the assistant speaks, and how fast it is silent: ``python -m tests.bench.speaking``.

Real synthesiser, real sound devices (the null sinks of a private sound server). Times are from the call to the moment
at which the sound card takes the first sample, or at which the recording of the loudspeaker is silent.
"""

from __future__ import annotations

import os
import statistics
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np

from assistant.voice.adapters.pyttsx3 import Pyttsx3Synthesiser
from assistant.voice.ports import Synthesiser
from assistant.voice.sound.card import SoundCard
from assistant.voice.sound.ends import CardLoudspeaker
from assistant.voice.speaking.process import NATURAL, PYTTSX3, ProcessSynthesiser
from assistant.voice.speaking.rendering import breath_groups
from assistant.voice.speaking.speaker import CardSpeaker
from tests.bench.listening import family, memory_mb
from tests.devices.pulse import RECORD_HZ, PulseBay, Samples
from tests.devices.waiting import until

ENGINES = (
    ("pyttsx3", lambda: ProcessSynthesiser(PYTTSX3).ready()),
    ("natural", lambda: ProcessSynthesiser(NATURAL).ready()),
)
"""What a bay speaks with: each in a process of its own."""
NUMBERS = ("one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve")
LONG = "Fit the cover by hand and start every bolt two turns before any of them is tightened in the order read out."


def new_texts() -> list[str]:
    """Return a dozen answers whose first sentences have not been said before."""
    return [f"Step {number} of twelve. Bolts four to eight. Thirty-two newton metres." for number in NUMBERS]


class Ear:
    """A loudspeaker that notes when the sound card took the first sample that can be heard."""

    def __init__(self, loudspeaker: CardLoudspeaker) -> None:
        self._loudspeaker = loudspeaker
        self.first_at = 0.0

    rate_hz = property(lambda self: self._loudspeaker.rate_hz)
    latency_s = property(lambda self: self._loudspeaker.latency_s)
    alive = property(lambda self: self._loudspeaker.alive)

    def start(self, pull: Callable[[int], Samples]) -> None:
        def noted(count: int) -> Samples:
            samples = pull(count)
            if not self.first_at and np.abs(samples).max() > 50:
                self.first_at = time.monotonic()
            return samples

        self._loudspeaker.start(noted)

    def close(self) -> None:
        self._loudspeaker.close()


def rendering(make: Callable[[], Synthesiser]) -> list[float]:
    """Return the seconds that rendering each of 36 new sentences took, at 48 kHz."""
    synthesiser = make()
    synthesiser.render("Ready.", rate=165, rate_hz=48_000)
    took = []
    for text in new_texts():
        for sentence in breath_groups(text):
            began = time.perf_counter()
            synthesiser.render(sentence, rate=165, rate_hz=48_000)
            took.append(time.perf_counter() - began)
    synthesiser.close()
    return took


def memory(make: Callable[[], Synthesiser]) -> float:
    """Return the resident memory [MB] of the engine's process when it has spoken."""
    before = family(os.getpid())
    synthesiser = make()
    synthesiser.render(LONG, rate=165, rate_hz=48_000)
    started = [pid for pid in family(os.getpid()) if pid not in before]
    found = sum(map(memory_mb, started))
    synthesiser.close()
    return found


def answering(speaker: CardSpeaker, ear: Ear, texts: list[str]) -> list[float]:
    """Return the seconds from each ``say`` to its first sample."""
    took = []
    for text in texts:
        until(lambda: not speaker.is_sounding(), "silence")
        ear.first_at = 0.0
        began = time.monotonic()
        speaker.say(text)
        until(lambda: ear.first_at > 0, "the first sample")
        took.append(ear.first_at - began)
        speaker.hush()
    return took


def cutting(speaker: CardSpeaker, pulse: PulseBay, times: int = 10) -> list[float]:
    """Return the seconds from each ``hush`` to the last sound in the recording."""
    took = []
    with pulse.recorded() as recording:
        for _ in range(times):
            before = recording.so_far().size
            speaker.say(LONG)
            until(lambda: np.abs(recording.so_far()[before:]).max(initial=0) > 5000, "speech")  # noqa: B023
            asked = recording.so_far().size
            speaker.hush()
            until(lambda: recording.so_far().size > asked + RECORD_HZ // 2, "half a second more")  # noqa: B023
            took.append((np.flatnonzero(np.abs(recording.so_far()) > 100)[-1] - asked) / RECORD_HZ)
    return took


def row(what: str, took: list[float], limit_ms: float | None = None) -> str:
    """Return one line: median, 95th percentile and most, in milliseconds, and the limit on the 95th percentile."""
    worst = float(np.percentile(took, 95)) * 1000
    line = f"{what:<52} {statistics.median(took) * 1000:6.0f} {worst:6.0f} {max(took) * 1000:6.0f} ms"
    if limit_ms is not None:
        line += f"   limit {limit_ms:.0f}: {'kept' if worst < limit_ms else 'BROKEN'}"
    return line


def rows() -> list[str]:
    """Measure everything and return the lines."""
    lines = [f"{'':<52} {'median':>6} {'95 %':>6} {'most':>6}"]
    for name, make in (*ENGINES, ("pyttsx3 in our own process", Pyttsx3Synthesiser)):
        lines.append(row(f"render a sentence, {name}", rendering(make)))
    for name, make in ENGINES:
        lines.append(f"{f'resident memory of the engine, {name}':<52} {memory(make):6.0f} MB")
    with tempfile.TemporaryDirectory(prefix="bay-") as folder, PulseBay(Path(folder)) as pulse:
        os.environ.update(pulse.environment)
        card = SoundCard()
        for name, make in ENGINES:
            ear = Ear(card.loudspeaker("bay_speaker"))
            speaker = CardSpeaker(make(), ear)
            lines.append(row(f"say -> first sample, new text, {name}", answering(speaker, ear, new_texts()), 100))
            lines.append(row(f"say -> first sample, rendered before, {name}", answering(speaker, ear, new_texts()), 50))
            if name == "pyttsx3":
                lines.append(row("be quiet -> silence on the recording", cutting(speaker, pulse), 100))
            speaker.close()
        card.close()
    return lines


if __name__ == "__main__":
    print("\n".join(rows()))
