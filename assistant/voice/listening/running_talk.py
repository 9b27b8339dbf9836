"""Whether people talk to one another, or a radio does, and what a phrase must be to count all the same. Pure.

Whoever talks on and on says something now and then that sounds like a phrase. What is meant for the assistant stands
alone: with more silence before and behind it than the sentences of such talk have, and surely heard. All numbers were
chosen on ``dev`` (docs/measurements.md).
"""

from __future__ import annotations

from collections import deque
from dataclasses import replace

from assistant.events import Clarity, Heard

LATELY_S = 8.0
"""What was said so long ago counts as talk that goes on [s]."""
TALK_S = 2.0
"""So much of it within that time is talk [s]."""
LEAST_TALK_S = 1.0
"""What is shorter is no part of it [s]: it may have been a command that was not understood."""
UNHEARD_S = 0.4
"""In a phrase there is at most so much voice [s] that none of its words accounts for."""


class RunningTalk:
    """What was said lately that was no phrase."""

    def __init__(self) -> None:
        """Begin with nothing said."""
        self._said: deque[tuple[float, float]] = deque()

    def note(self, heard: Heard) -> None:
        """Take up an utterance in which there was a voice."""
        seconds = heard.ended_at - heard.started_at
        if heard.clarity in (Clarity.SPEECH, Clarity.UNCLEAR) and seconds >= LEAST_TALK_S:
            self._said.append((heard.ended_at, seconds))

    def goes_on(self, now: float) -> bool:
        """Return whether there is talk at ``now`` [s since the epoch]."""
        while self._said and self._said[0][0] < now - LATELY_S:
            self._said.popleft()
        return sum(seconds for _, seconds in self._said) >= TALK_S


def as_alone(heard: Heard, *, in_talk: bool, least: float) -> Heard:
    """Return ``heard``, or that it was talk: a phrase that leaves much of the voice unheard, or, in talk, is unsure.

    ``least`` is the confidence that it needs in talk.
    """
    if heard.clarity is not Clarity.PHRASE:
        return heard
    unheard_s = heard.ended_at - heard.started_at - heard.words_s if heard.words_s else 0.0
    if unheard_s > UNHEARD_S or (in_talk and heard.confidence < least):
        return replace(heard, text="", clarity=Clarity.SPEECH if in_talk else Clarity.UNCLEAR, words=())
    return heard
