"""How far what was asked to be said has come, sentence by sentence; who acknowledges may not have heard all."""

from __future__ import annotations

import threading
from collections import deque
from collections.abc import Sequence


class Saying:
    """The sentences of the utterances since the last one that cut all others, and when each had been spoken.

    ``ended`` may be called by an audio thread: it never waits. What is hushed counts as not spoken until something else
    cuts it: nobody has heard it.
    """

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._parts: dict[tuple[int, int], str] = {}
        self._ended: deque[tuple[tuple[int, int], float]] = deque()
        self._at: dict[tuple[int, int], float] = {}

    def asked(self, utterance: int, parts: Sequence[str], *, cut: bool) -> None:
        """Note the sentences ``parts`` of ``utterance``; with ``cut`` nothing else is to be said any more."""
        with self._lock:
            if cut:
                self._parts.clear()
            self._parts.update({(utterance, number): part for number, part in enumerate(parts)})

    def ended(self, utterance: int, part: int, at: float) -> None:
        """Note that sentence number ``part`` (from zero) had been spoken at ``at`` [s]."""
        self._ended.append(((utterance, part), at))

    def unsaid(self, at: float) -> str:
        """Return the sentences that had not been spoken to their end at ``at`` [s], one after another."""
        with self._lock:
            while self._ended:
                key, ended_at = self._ended.popleft()
                if key in self._parts:
                    self._at[key] = ended_at
            self._at = {key: ended_at for key, ended_at in self._at.items() if key in self._parts}
            return " ".join(part for key, part in self._parts.items() if self._at.get(key, float("inf")) > at)
