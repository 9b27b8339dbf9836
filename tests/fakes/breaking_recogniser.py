"""Recognisers that break or hang, as an engine might on a sound that nobody foresaw."""

from __future__ import annotations

import threading

from assistant.voice.ports import Samples
from tests.fakes.recogniser import TellRecogniser


class BreakingRecogniser(TellRecogniser):
    """Raises a ValueError at the first block of every utterance."""

    def feed(self, block: Samples) -> None:
        """Break."""
        raise ValueError("no such state")


class HangingRecogniser(TellRecogniser):
    """Never comes back from the first block of an utterance until ``let_go`` is set; ``hangs`` tells that it hangs."""

    def __init__(self) -> None:
        """Be ready to hang."""
        super().__init__("what hangs is not heard")
        self.hangs, self.let_go = threading.Event(), threading.Event()

    def feed(self, block: Samples) -> None:
        """Hang."""
        self.hangs.set()
        self.let_go.wait()
        super().feed(block)
