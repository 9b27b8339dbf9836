"""A synthesiser in a process of its own, which can be ended when it hangs: an engine in ours could not.

It starts in the time that the recogniser takes to load; a sentence costs about a millisecond more than in our process.
"""

from __future__ import annotations

import contextlib
import json
import os
import selectors
import subprocess
import sys
import time
from pathlib import Path
from typing import Any

import numpy as np

from assistant.voice.ports import Samples, VoiceFault

PYTTSX3 = "assistant.voice.adapters.pyttsx3:Pyttsx3Synthesiser"
NATURAL = "assistant.voice.adapters.hibari:NaturalSynthesiser"
PATIENCE_S = 5.0
"""How long a sentence may take before the engine counts as hanging [s]; usual are 0.01 to 0.1 s."""
START_S = 30.0
"""How long the engine may take to load [s]; usual is 0.5 s."""
_ROOT = str(Path(__file__).parents[3])
_RUN = "from assistant.voice.speaking.child import answer_parent; answer_parent()"


class ProcessSynthesiser:
    """Renders sentences in another process. One instance serves one thread at a time."""

    def __init__(self, maker: str, voice: str = "", *, patience_s: float = PATIENCE_S) -> None:
        """Start the process; ``maker`` is the class of the synthesiser as "module:name", and gets ``voice``.

        ``patience_s`` is how long a sentence may take [s]. Nothing is waited for: see :meth:`ready`.

        Raises:
            VoiceFault: no process can be started.
        """
        self._patience_s = patience_s
        self._voice: str | None = None
        self._read = b""
        paths = [_ROOT, *filter(None, [os.environ.get("PYTHONPATH")])]
        try:
            self._process = subprocess.Popen(  # noqa: S603 - this Python and our own module
                [sys.executable, "-P", "-c", _RUN, maker, voice],
                stdin=subprocess.PIPE,
                stdout=subprocess.PIPE,
                stderr=subprocess.DEVNULL,  # what an engine prints would litter the dialogue
                env=os.environ | {"PYTHONPATH": os.pathsep.join(paths)},
                bufsize=0,
            )
        except OSError as fault:
            raise VoiceFault(
                f"The speech engine cannot be started ({fault.strerror}); close other programs."
            ) from fault

    def ready(self) -> ProcessSynthesiser:
        """Wait until the engine is loaded, and return itself.

        Raises:
            VoiceFault: it is not installed, has no such voice, or does not load.
        """
        if self._voice is None:
            self._voice = str(self._answer(time.monotonic() + START_S)["voice"])
        return self

    @property
    def voice(self) -> str:
        """The id of the voice that speaks."""
        self.ready()
        return str(self._voice)

    def render(self, text: str, *, rate: int, rate_hz: int) -> Samples:
        """Return the speech for ``text`` at ``rate`` words per minute, sampled at ``rate_hz``, shape (n,).

        Raises:
            VoiceFault: the engine broke, or did not answer in time; its process is ended then.
        """
        self.ready()
        asked = json.dumps({"text": text, "rate": rate, "rate_hz": rate_hz}).encode() + b"\n"
        until = time.monotonic() + self._patience_s
        stdin = self._process.stdin
        try:
            if stdin is None or stdin.write(asked) != len(asked):
                raise self._broken("takes no more sentences")
        except OSError as fault:
            raise self._broken("has ended") from fault
        size = int(self._answer(until)["bytes"])
        return np.frombuffer(self._take(size, until), dtype=np.int16)

    def close(self) -> None:
        """End the process, at once and whatever it is doing."""
        self._process.kill()
        self._process.wait()
        for pipe in (self._process.stdin, self._process.stdout):
            if pipe is not None:
                with contextlib.suppress(OSError):
                    pipe.close()

    def _answer(self, until: float) -> dict[str, Any]:
        while b"\n" not in self._read:
            self._more(until)
        line, _, self._read = self._read.partition(b"\n")
        head: dict[str, Any] = json.loads(line)
        if "fault" in head:
            raise VoiceFault(str(head["fault"]))
        return head

    def _take(self, size: int, until: float) -> bytes:
        pieces, have = [self._read], len(self._read)
        while have < size:
            self._read = b""
            self._more(until)
            pieces.append(self._read)
            have += len(self._read)
        data = b"".join(pieces)
        self._read = data[size:]
        return data[:size]

    def _more(self, until: float) -> None:
        """Take what the process has written; wait for it until ``until`` (monotonic seconds)."""
        if self._process.stdout is None or self._process.stdout.closed:
            raise VoiceFault("The speech engine was ended.")
        with selectors.DefaultSelector() as selector:
            selector.register(self._process.stdout, selectors.EVENT_READ)
            if not selector.select(max(0.0, until - time.monotonic())):
                raise self._broken("did not answer in time")
        data = os.read(self._process.stdout.fileno(), 1 << 20)
        if not data:
            raise self._broken("has ended")
        self._read += data

    def _broken(self, how: str) -> VoiceFault:
        self.close()
        return VoiceFault(f"The speech engine {how}; choose another voice if it happens again.")
