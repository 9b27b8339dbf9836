"""What the steps share that are answered with a number of pieces."""

from __future__ import annotations

from assistant.facts.asking import Ask
from assistant.facts.base import Fact


class Miscounted(Fact, frozen=True, kw_only=True):
    """A count was given that is not the expected one; nothing is taken yet."""

    KIND = "miscounted"
    step: str
    count: int


class AskCount(Ask, frozen=True):
    """Take a count that is not the expected one."""

    step: str
    count: int
