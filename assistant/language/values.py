"""Values that languages take and give."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

Phrase = tuple[str, ...]
"""A phrase as its words."""


class StepAt(NamedTuple):
    """How a step is called: its ``number`` from one among the steps, or among the ``closing`` steps.

    A step of a branch is an extra step, with its number there, ``behind`` the step with that number; else it is 0.
    """

    number: int
    closing: bool = False
    behind: int = 0


class StageAt(NamedTuple):
    """Which pass of a tightening: place in the step, printed number and name, pass and repetition; all from one.

    ``of`` is 0 where it is not said how many there are. ``printed`` and ``label`` are "" where there is none. ``again``
    says that it is done once more, because the bolts were loosened.
    """

    number: int
    of: int
    printed: str = ""
    label: str = ""
    part: int = 1
    parts: int = 1
    time: int = 1
    times: int = 1
    again: bool = False


@dataclass(frozen=True, slots=True)
class NumberPhrases:
    """The phrases of one kind of number: a whole part, then perhaps a point and a decimal part.

    With ``points`` empty there is no decimal part. ``wholes`` may also be left out before a point ("point five").
    """

    wholes: tuple[Phrase, ...]
    points: tuple[str, ...] = ()
    decimals: tuple[Phrase, ...] = ()


@dataclass(frozen=True, slots=True)
class Thing:
    """What a command is about: its main word, bare of endings, the words that tell it apart, and all as written."""

    head: str
    more: frozenset[str]
    words: str
