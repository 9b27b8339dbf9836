"""A recogniser around another one, which does all the work: for whoever wants to know what it was fed."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from assistant.events import Grammar, Heard, Thresholds
from assistant.voice.ports import Opinion, Recogniser, Samples


class WrappedRecogniser:
    """Hands everything on to the inner recogniser, and keeps the blocks of the present utterance."""

    def __init__(self, inner: Recogniser) -> None:
        """Stand around ``inner``."""
        self._inner = inner
        self._blocks: list[Samples] = []

    @property
    def limits(self) -> Thresholds:
        """The inner recogniser's limits."""
        return self._inner.limits

    def set_grammar(self, grammar: Grammar) -> None:
        """Listen for these phrases from the next utterance on."""
        self._inner.set_grammar(grammar)

    def unknown_words(self, words: Iterable[str]) -> dict[str, str]:
        """Return the words that the model cannot hear, each with a near one that it can."""
        return self._inner.unknown_words(words)

    def attend(self, block: Samples) -> Opinion:
        """Take the next block, shape (n,), of all that is heard."""
        return self._inner.attend(block)

    def forget(self) -> None:
        """Attend anew."""
        self._inner.forget()

    def start(self) -> None:
        """Begin an utterance."""
        self._blocks.clear()
        self._inner.start()

    def feed(self, block: Samples) -> None:
        """Take the next block, shape (n,)."""
        self._blocks.append(block)
        self._inner.feed(block)

    def settled(self, pause_s: float) -> bool:
        """Return whether a whole phrase was heard that nothing continues after a pause of so many seconds."""
        return self._inner.settled(pause_s)

    def finish(self, started_at: float, ended_at: float) -> Heard:
        """End the utterance (times in seconds since the epoch) and say what it was."""
        return self._inner.finish(started_at, ended_at)

    def _sound(self) -> Samples:
        """Return all of the present utterance, shape (n,)."""
        return np.concatenate(self._blocks) if self._blocks else np.zeros(0, dtype=np.int16)
