"""Keeps the sound of each utterance, when the mechanic allowed it: one WAV file each, beside the journal."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from pathlib import Path

import numpy as np

from assistant.events import Grammar, Heard, Thresholds
from assistant.files import private_file
from assistant.voice.adapters.wav import WavLoudspeaker
from assistant.voice.ports import Recogniser, Samples, VoiceFault


class KeepingRecogniser:
    """A recogniser that also writes down what it was fed; everything else is the inner recogniser's work."""

    def __init__(self, inner: Recogniser, folder: Path, on_kept: Callable[[str], None]) -> None:
        """Write to ``folder``, which exists; ``on_kept`` gets the name of each file."""
        self._inner = inner
        self._folder = folder
        self._on_kept = on_kept
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
        """End the utterance (times in seconds since the epoch), keep its sound, and say what it was."""
        heard = self._inner.finish(started_at, ended_at)
        name = f"{round(started_at * 1000)}.wav"
        try:
            out = WavLoudspeaker(private_file(self._folder / name))
            out.play(np.concatenate(self._blocks) if self._blocks else np.zeros(0, dtype=np.int16))
            out.close()
        except (VoiceFault, OSError):
            return heard  # the word counts, with or without its sound; the missing file shows in the journal
        self._on_kept(name)
        return heard
