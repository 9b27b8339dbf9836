"""Attends to all that is heard with the net that knows speech: it hears words in noise where nothing else does.

The engine runs on and on, utterance or not. It ends its own pieces at its own silence, after 5 s without a word and
after 20 s in any case (the endpointing rules of Kaldi, online2/online-endpoint.h), so nothing grows in hours of noise.
"""

from __future__ import annotations

import json
from collections import deque
from collections.abc import Callable
from typing import Protocol

from assistant.voice.ports import BLOCK, RATE, SILENCE, Opinion, Samples

KEPT_S = 1.2
"""So much of what was heard is put to the engine again when the grammar changes [s]: the word that is being said."""


class AttendingEngine(Protocol):
    """What is used of a Kaldi recogniser; it is told bytes of 16 kHz, and answers with JSON."""

    def AcceptWaveform(self, data: bytes) -> int:  # noqa: N802 - the engine's own name
        """Take what comes next; return whether a piece ended."""

    def PartialResult(self) -> str:  # noqa: N802
        """Return the words of the piece so far."""

    def Result(self) -> str:  # noqa: N802
        """Return the words of the piece that ended, and begin the next."""

    def FinalResult(self) -> str:  # noqa: N802
        """End the piece here."""


class Attending:
    """One engine that is fed without end."""

    def __init__(self) -> None:
        """Begin without an engine: then no words are heard."""
        self._engine: AttendingEngine | None = None
        self._is_phrase: Callable[[str], bool] = lambda _text: False
        self._kept: deque[Samples] = deque(maxlen=round(KEPT_S * RATE / BLOCK))
        self._is_fed = False
        self._text = ""
        self._words_for = 0
        self._opinion = SILENCE

    def use(self, engine: AttendingEngine, is_phrase: Callable[[str], bool]) -> None:
        """Go on with ``engine``, which is put what was heard last; ``is_phrase`` knows its whole phrases."""
        self._engine, self._is_phrase = engine, is_phrase
        self._begin_piece()
        if self._kept:
            engine.AcceptWaveform(b"".join(block.tobytes() for block in self._kept))
            self._is_fed = True

    def forget(self) -> None:
        """Begin anew: nothing that was heard counts any more."""
        self._kept.clear()
        if self._engine is not None and self._is_fed:
            self._engine.FinalResult()
        self._is_fed = False
        self._begin_piece()

    def feed(self, block: Samples) -> Opinion:
        """Take the next block, shape (n,), and return what is made of all so far."""
        self._kept.append(block)
        if self._engine is None:
            return SILENCE
        self._is_fed = True
        is_over = bool(self._engine.AcceptWaveform(block.tobytes()))
        told = json.loads(self._engine.Result() if is_over else self._engine.PartialResult())
        text = str(told["text" if is_over else "partial"])
        if not text:
            self._begin_piece()
            return SILENCE
        self._words_for += block.size
        is_phrase = self._opinion.is_phrase if text == self._text else self._is_phrase(text)
        opinion = Opinion(self._words_for / RATE, is_phrase, is_over)
        self._text, self._opinion = text, opinion
        if is_over:
            self._begin_piece()
        return opinion

    def _begin_piece(self) -> None:
        self._text, self._words_for, self._opinion = "", 0, SILENCE
