"""How long a voice of their own takes: ``assistant voice NAME`` on null sinks, from its start to the profile.

    python -m tests.bench --only voice_enrolment

Its own process, with real devices and real engines. A synthetic mechanic says each phrase ``THINKS_S`` after the end
of the sentence that asks for it. How quickly a person answers is ours, so the share of it in the whole is told.
"""

from __future__ import annotations

import os
import re
import subprocess
import sys
import tempfile
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager

import numpy as np

from assistant.hearing.voice_prompts import voice_prompts
from assistant.voice.ports import RATE
from tests.bench.figures import Figure, Tell, spread
from tests.bench.live_bay import DEVICES, ROOT, Bay, bay
from tests.devices.waiting import until
from tests.voice.people import Person

NAME = "Kim Example"
WHO = Person("espeak-ng", "en-029")
THINKS_S = 0.5
LIMIT_S = 300.0
_ASKED = re.compile(r"Say: (.*)\.")
_LOUD = 60
_PROMPT_S = 20.0


class _Ear:
    """Listens to the loudspeaker and notes when it last gave sound: five minutes of it are not kept."""

    def __init__(self, opened: Bay) -> None:
        self._process = opened.pulse.monitor("loudspeaker")
        self.loud_at = 0.0
        self._thread = threading.Thread(target=self._listen, daemon=True)
        self._thread.start()

    def _listen(self) -> None:
        assert self._process.stdout
        while piece := self._process.stdout.read1(4096):
            samples = np.frombuffer(piece[: len(piece) // 2 * 2], dtype="<i2")
            if samples.size and int(np.abs(samples.astype(int)).max()) > _LOUD:
                self.loud_at = time.monotonic()

    def close(self) -> None:
        self._process.kill()
        self._process.wait()
        self._thread.join()


@contextmanager
def _listening(opened: Bay) -> Iterator[_Ear]:
    ear = _Ear(opened)
    try:
        yield ear
    finally:
        ear.close()


def _answer(opened: Bay, ear: _Ear, text: str, asked_at: float) -> None:
    """Let the prompt be heard to its end, think, and say ``text``."""
    until(lambda: ear.loud_at > asked_at, "the prompt", _PROMPT_S)
    until(lambda: time.monotonic() - ear.loud_at > THINKS_S, "its end", _PROMPT_S)
    opened.pulse.speak(WHO.say(text), RATE)


def enrolled(opened: Bay, tell: Tell) -> tuple[list[tuple[str, float]], int]:
    """Enrol the mechanic in a bay that is open.

    Returns:
        Each line that was printed with its time since the start [s], the last for the end; and the exit code.
    """
    with tempfile.TemporaryDirectory(dir=ROOT, prefix=".bench-") as home, _listening(opened) as ear:
        began = time.monotonic()
        process = subprocess.Popen(
            [sys.executable, "-u", "-m", "assistant", "voice", NAME, *DEVICES], cwd=ROOT, text=True,
            env=os.environ | {"ASSISTANT_HOME": home}, stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE, stderr=subprocess.STDOUT,
        )  # fmt: skip
        lines = []
        try:
            assert process.stdout
            for line in process.stdout:
                now = time.monotonic()
                lines.append((line.strip(), now - began))
                tell(f"{now - began:.0f} s: {line.strip()}")
                if asked := _ASKED.fullmatch(line.strip()):
                    _answer(opened, ear, asked[1], now)
        finally:
            if process.poll() is None and (not lines or process.wait(timeout=30) is None):
                process.kill()
        lines.append(("", time.monotonic() - began))
        return lines, process.wait()


def figures(tell: Tell) -> list[Figure]:
    """Measure one enrolment."""
    tell("what the mechanic will say")
    said = [WHO.say(text).size / RATE for text in voice_prompts(NAME)]
    with bay() as opened:
        lines, code = enrolled(opened, tell)
    asked = [at for line, at in lines if _ASKED.fullmatch(line)]
    if code or len(asked) < 2:
        raise RuntimeError(f"`assistant voice` ended with {code}: " + " / ".join(line for line, _ in lines[-4:]))
    thanks = next(at for line, at in lines if at > asked[-1])
    came = next(line for line, at in lines if at > thanks)
    return [
        Figure(f"A voice of their own: from its start to the profile, {len(asked)} phrases", lines[-1][1], "s",
               LIMIT_S, f"{THINKS_S * len(asked):.0f} s of it thinking, {sum(said):.0f} s of phrases"),
        Figure("Of that: until the first phrase is asked for", asked[0], "s"),
        Figure("Of that: asking", thanks - asked[0], "s"),
        Figure("Of that: learning, and saying what came of it", lines[-1][1] - thanks, "s", None, came),
        *spread("Of that: one phrase", list(np.diff([*asked, thanks])), "s", None, None),
    ]  # fmt: skip
