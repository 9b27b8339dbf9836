"""What a bay is put together from, and what each part must do: the ears and the time.

A bay in a room has a microphone, a sound card and the clock of the wall; a rehearsal has a talk with its own time.
What a speaker must do stands in :mod:`assistant.voice.ports`, what a page must do in :mod:`assistant.bay.screen`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Protocol

from assistant.bay.inbox import Errand
from assistant.display.board import Ear
from assistant.events import Grammar, Thresholds


class Clock(Protocol):
    """The time of a job: that of the wall, or that of a talk."""

    def now(self) -> float:
        """Return the time [s since the epoch], in whole milliseconds, as the journal keeps it."""

    def step(self) -> float:
        """Return by how many seconds the computer's clock was set since the last question; back is negative."""

    def let_pass(self, seconds: float) -> None:
        """Return when so many seconds have passed."""


class Ears(Protocol):
    """Where words come from: a microphone and keys, a recording, or a typed talk."""

    is_live: bool
    """Whether people are in the room: what breaks is told and mended then, and the wall's clock goes on by itself."""
    over: bool
    """Whether nothing comes any more and all was said to it."""
    name: str
    """What they are called where they are over."""

    @property
    def limits(self) -> Thresholds:
        """The least confidences of words, per weight."""

    def unknown_words(self, words: Iterable[str]) -> dict[str, str]:
        """Return the words that cannot be heard, each with a near one that can (or "")."""

    def begin(self, loop_silent_s: Callable[[], float], on_loop: Callable[[], None]) -> None:
        """Begin to listen, and look after what hangs: the loop, too, which was silent for ``loop_silent_s()`` seconds.

        ``on_loop`` is called when it stands still.

        Raises:
            VoiceFault: the voice detector cannot be loaded.
        """

    def listen_for(self, grammar: Grammar) -> None:
        """Listen for these phrases from the next utterance on."""

    def take(self, most_s: float) -> Errand | None:
        """Return what happened next; None when nothing did within ``most_s`` seconds of the job's clock, or before.

        A talk lets the time pass that this takes, and stops where the assistant falls silent.
        """

    def unsaid(self) -> str:
        """Return a sentence about what was not said because the job was closed before, or ""."""

    def look(self) -> Ear:
        """Return what the microphone does now, for a page."""

    def close(self) -> None:
        """Stop listening, and free the devices or files."""
