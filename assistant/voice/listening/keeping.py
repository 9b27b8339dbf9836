"""Keeps the sound of each utterance, when the mechanic allowed it: one WAV file each, beside the journal."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from assistant.events import Heard
from assistant.files import private_file
from assistant.voice.adapters.wav import WavLoudspeaker
from assistant.voice.listening.wrapped import WrappedRecogniser
from assistant.voice.ports import Recogniser, VoiceFault


class KeepingRecogniser(WrappedRecogniser):
    """A recogniser that also writes down what it was fed; everything else is the inner recogniser's work."""

    def __init__(self, inner: Recogniser, folder: Path, on_kept: Callable[[str], None]) -> None:
        """Write to ``folder``, which exists; ``on_kept`` gets the name of each file."""
        super().__init__(inner)
        self._folder = folder
        self._on_kept = on_kept

    def finish(self, started_at: float, ended_at: float) -> Heard:
        """End the utterance (times in seconds since the epoch), keep its sound, and say what it was."""
        heard = super().finish(started_at, ended_at)
        name = f"{round(started_at * 1000)}.wav"
        try:
            out = WavLoudspeaker(private_file(self._folder / name))
            out.play(self._sound())
            out.close()
        except (VoiceFault, OSError):
            return heard  # the word counts, with or without its sound; the missing file shows in the journal
        self._on_kept(name)
        return heard
