"""A writer of free speech in a process of its own: both its ends. Broken native code ends that process, not the job."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from typing import Any

import numpy as np

from assistant.voice.engine.child import Engine, Request, made, serve
from assistant.voice.engine.process import EngineProcess
from assistant.voice.ports import RATE, Samples, Writer, Written

MOONSHINE = "assistant.voice.adapters.moonshine:MoonshineWriter"
NOTE_PATIENCE_S = 5.0
"""How long a note may take beside the time that it lasted [s]; usual is a tenth of that time."""
_ADVICE = "the note is as the usual hearing took it."
_RUN = "from assistant.voice.listening.writing import answer_with_words; answer_with_words()"


class ProcessWriter:
    """Writes down in another process. One instance serves one thread at a time."""

    def __init__(self, maker: str = MOONSHINE, *, patience_s: float = NOTE_PATIENCE_S) -> None:
        """Start the process; ``maker`` is the class of the writer as "module:name". Nothing is waited for.

        ``patience_s`` is how long a note may take beside its own length [s].

        Raises:
            VoiceFault: no process can be started.
        """
        self._patience_s = patience_s
        self._engine = EngineProcess(_RUN, maker, called="The writer of notes", advice=_ADVICE)

    def write(self, samples: Samples) -> str:
        """Return the words of ``samples``, shape (n,), as they would be written; "" where there are none.

        Raises:
            VoiceFault: the engine is not there, broke, or took too long; its process is ended then.
        """
        return self.weigh(samples, ()).text

    def weigh(self, samples: Samples, said: Sequence[str]) -> Written:
        """Return the words of ``samples``, shape (n,), and how much likelier they are than each of ``said``.

        With the same sound without its noise below it, shape (2, n), keywords are heard in both.

        Raises:
            VoiceFault: the engine is not there, broke, or took too long; its process is ended then.
        """
        patience_s = self._patience_s + samples.size / RATE
        told, _ = self._engine.ask(
            {"said": list(said), "shape": samples.shape}, samples.tobytes(), patience_s=patience_s
        )
        chances = ({str(word): float(one) for word, one in told[name].items()} for name in ("keywords", "before"))
        return Written(str(told["text"]), tuple(map(float, told["doubts"])), float(told["chance"]), *chances)

    def close(self) -> None:
        """End the process, at once and whatever it is doing."""
        self._engine.close()


def answer_with_words() -> None:
    """Make the writer that the command line names (module:name) and answer until the input ends."""

    def make() -> Engine:
        writer: Writer = made(sys.argv[1])

        def answer(head: dict[str, Any], data: bytes) -> Request:
            written = writer.weigh(np.frombuffer(data, dtype=np.int16).reshape(head["shape"]), head["said"])
            told = {"text": written.text, "doubts": written.doubts, "chance": written.chance}
            return {**told, "keywords": dict(written.keywords), "before": dict(written.before)}, b""

        return {}, answer

    serve(make, lambda kind: f"The writer of notes failed ({kind}); {_ADVICE}")
