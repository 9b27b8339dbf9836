"""The other end of :mod:`assistant.voice.speaking.process`: a synthesiser in a process of its own."""

from __future__ import annotations

import sys
from typing import Any

from assistant.voice.engine.child import Engine, Request, made, serve
from assistant.voice.ports import Synthesiser


def answer_parent() -> None:
    """Make the synthesiser that the command line names (module:name, voice) and answer until the input ends."""
    maker, voice = sys.argv[1:3]

    def make() -> Engine:
        synthesiser: Synthesiser = made(maker, voice)

        def answer(asked: dict[str, Any], _: bytes) -> Request:
            return {}, synthesiser.render(asked["text"], rate=asked["rate"], rate_hz=asked["rate_hz"]).tobytes()

        return {"voice": getattr(synthesiser, "voice", voice)}, answer

    serve(make, lambda kind: f"The speech engine failed ({kind}); choose another voice if it happens again.")
