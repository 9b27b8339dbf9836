"""An engine in a process of its own, which can be ended when it hangs, and takes nothing with it when it breaks.

A request is a line of JSON and so many bytes as its ``bytes`` says; so is an answer, but that ``fault`` has a sentence
where there is none. :mod:`assistant.voice.engine.child` is the other end.
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
from typing import IO, Any

from assistant.voice.ports import VoiceFault

START_S = 30.0
"""How long an engine may take to load [s]; usual is 0.5 s."""
_ROOT = str(Path(__file__).parents[3])


class EngineProcess:
    """Asks an engine in another process. One instance serves one thread at a time."""

    def __init__(self, run: str, *arguments: str, called: str, advice: str) -> None:
        """Start the process, which runs the code ``run`` with ``arguments``; nothing is waited for.

        ``called`` and ``advice`` make the sentence when it breaks: "The speech engine", "choose another voice ...".

        Raises:
            VoiceFault: no process can be started.
        """
        self._called, self._advice = called, advice
        self._about: dict[str, Any] | None = None
        self._read = b""
        paths = [_ROOT, *filter(None, [os.environ.get("PYTHONPATH")])]
        try:
            self._process = subprocess.Popen(  # noqa: S603 - this Python and our own module
                [sys.executable, "-P", "-c", run, *arguments],
                stdin=subprocess.PIPE,
                stdout=subprocess.PIPE,
                stderr=subprocess.DEVNULL,  # what an engine prints would litter the dialogue
                env=os.environ | {"PYTHONPATH": os.pathsep.join(paths)},
                bufsize=0,
            )
        except OSError as fault:
            raise VoiceFault(f"{called} cannot be started ({fault.strerror}); close other programs.") from fault
        if self._process.stdin is not None:
            os.set_blocking(self._process.stdin.fileno(), False)

    def ready(self) -> dict[str, Any]:
        """Wait until the engine is loaded, and return what it says of itself.

        Raises:
            VoiceFault: it is not installed, or does not load.
        """
        if self._about is None:
            self._about = self._answer(time.monotonic() + START_S)
        return self._about

    def ask(self, head: dict[str, Any], data: bytes = b"", *, patience_s: float) -> tuple[dict[str, Any], bytes]:
        """Return the answer to ``head`` and ``data``, and the bytes that came with it.

        Raises:
            VoiceFault: the engine broke, or did not answer within ``patience_s`` seconds; its process is ended then.
        """
        self.ready()
        until = time.monotonic() + patience_s
        asked = head | {"bytes": len(data)} if data else head
        self._put(json.dumps(asked).encode() + b"\n" + data, until)
        answer = self._answer(until)
        return answer, self._take(int(answer.get("bytes", 0)), until)

    def close(self) -> None:
        """End the process, at once and whatever it is doing."""
        self._process.kill()
        self._process.wait()
        for pipe in (self._process.stdin, self._process.stdout):
            if pipe is not None:
                with contextlib.suppress(OSError):
                    pipe.close()

    def _put(self, data: bytes, until: float) -> None:
        left = memoryview(data)
        while left:
            pipe = self._wait_for(self._process.stdin, selectors.EVENT_WRITE, until)
            try:
                left = left[os.write(pipe.fileno(), left) :]
            except OSError as fault:
                raise self._broken("has ended") from fault

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
        data = os.read(self._wait_for(self._process.stdout, selectors.EVENT_READ, until).fileno(), 1 << 20)
        if not data:
            raise self._broken("has ended")
        self._read += data

    def _wait_for(self, pipe: IO[bytes] | None, what: int, until: float) -> IO[bytes]:
        if pipe is None or pipe.closed:
            raise VoiceFault(f"{self._called} was ended.")
        with selectors.DefaultSelector() as selector:
            selector.register(pipe, what)
            if not selector.select(max(0.0, until - time.monotonic())):
                raise self._broken("did not answer in time")
        return pipe

    def _broken(self, how: str) -> VoiceFault:
        self.close()
        return VoiceFault(f"{self._called} {how}; {self._advice}")
