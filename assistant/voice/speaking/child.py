"""The other end of :mod:`assistant.voice.speaking.process`: a synthesiser in a process of its own, asked line by line.

A request is a line of JSON (text, rate, rate_hz). An answer is a line of JSON (``bytes``, or ``fault`` with a sentence)
and so many bytes of 16-bit samples. The process ends when nobody can ask it any more.
"""

from __future__ import annotations

import importlib
import json
import os
import queue
import signal
import sys
from collections.abc import Callable
from typing import IO, Any

from assistant.voice.ports import Synthesiser, VoiceFault
from assistant.worker import Failure, Worker


def answer_parent() -> None:
    """Make the synthesiser that the command line names (module:name, voice) and answer until the input ends."""
    out = os.fdopen(os.dup(1), "wb")
    os.dup2(2, 1)  # what an engine prints must not come between the answers
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # Control-C is for the job, which then ends this
    requests: queue.SimpleQueue[bytes] = queue.SimpleQueue()

    def read(go_on: Callable[[], bool]) -> None:
        while go_on() and (line := sys.stdin.buffer.readline()):
            requests.put(line)
        os._exit(0)  # the asker is gone, and the engine may hang: nothing here is worth waiting for

    def ended(_failure: Failure) -> None:
        os._exit(1)

    Worker("requests", read, on_failure=ended).start()
    maker, voice = sys.argv[1:3]
    try:
        module, _, name = maker.partition(":")
        synthesiser: Synthesiser = getattr(importlib.import_module(module), name)(voice)
    except VoiceFault as fault:
        _answer(out, {"fault": fault.sentence})
        os._exit(0)  # an orderly end would wait for the reader
    _answer(out, {"voice": getattr(synthesiser, "voice", voice)})
    while True:
        asked = json.loads(requests.get())
        try:
            data = synthesiser.render(asked["text"], rate=asked["rate"], rate_hz=asked["rate_hz"]).tobytes()
        except VoiceFault as fault:
            _answer(out, {"fault": fault.sentence})
            continue
        except Exception as fault:  # noqa: BLE001 - whatever it is, the asker must hear of it
            kind = type(fault).__name__
            _answer(out, {"fault": f"The speech engine failed ({kind}); choose another voice if it happens again."})
            continue
        _answer(out, {"bytes": len(data)}, data)


def _answer(out: IO[bytes], head: dict[str, Any], data: bytes = b"") -> None:
    out.write(json.dumps(head).encode() + b"\n" + data)
    out.flush()
