"""The other end of :mod:`assistant.voice.engine.process`: answers requests until nobody can ask any more."""

from __future__ import annotations

import importlib
import json
import os
import queue
import signal
import sys
from collections.abc import Callable
from typing import IO, Any, NoReturn

from assistant.voice.ports import VoiceFault
from assistant.worker import Failure, Worker

Request = tuple[dict[str, Any], bytes]
"""What is asked, and the bytes that came with it; an answer is the same."""
Engine = tuple[dict[str, Any], Callable[[dict[str, Any], bytes], Request]]
"""What an engine says of itself, and what answers a request; that may raise VoiceFault."""


def serve(make: Callable[[], Engine], broken: Callable[[str], str]) -> NoReturn:
    """Make an engine and answer; ``broken`` makes a sentence of the class of an exception that nobody expected."""
    out = os.fdopen(os.dup(1), "wb")
    os.dup2(2, 1)  # what an engine prints must not come between the answers
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # Control-C is for the job, which then ends this
    requests: queue.SimpleQueue[Request] = queue.SimpleQueue()

    def read(go_on: Callable[[], bool]) -> None:
        source = sys.stdin.buffer
        while go_on() and (line := source.readline()):
            head = json.loads(line)
            requests.put((head, source.read(int(head.get("bytes", 0)))))
        os._exit(0)  # the asker is gone, and the engine may hang: nothing here is worth waiting for

    def ended(_failure: Failure) -> None:
        os._exit(1)

    Worker("requests", read, on_failure=ended).start()
    try:
        about, answer = make()
    except VoiceFault as fault:
        _put(out, {"fault": fault.sentence})
        os._exit(0)  # an orderly end would wait for the reader
    _put(out, about)
    while True:
        head, data = requests.get()
        try:
            told, back = answer(head, data)
        except VoiceFault as fault:
            _put(out, {"fault": fault.sentence})
        except Exception as fault:  # noqa: BLE001 - whatever it is, the asker must hear of it
            _put(out, {"fault": broken(type(fault).__name__)})
        else:
            _put(out, told | {"bytes": len(back)}, back)


def made(maker: str, *arguments: str) -> Any:
    """Return what the class ``maker``, as "module:name", makes of ``arguments``."""
    module, _, name = maker.partition(":")
    return getattr(importlib.import_module(module), name)(*arguments)


def _put(out: IO[bytes], head: dict[str, Any], data: bytes = b"") -> None:
    out.write(json.dumps(head).encode() + b"\n" + data)
    out.flush()
