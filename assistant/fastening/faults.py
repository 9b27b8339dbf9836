"""What a file or a person can get wrong, as a value: what is wrong, and what to do or to write instead."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

LONGEST = 60
"""Characters of a text that are looked at or shown."""


@dataclass(frozen=True, slots=True)
class Fault:
    """Why something cannot be done, and what can be done instead."""

    problem: str
    hint: str

    @property
    def sentence(self) -> str:
        """Return both as one line for a person."""
        return f"{self.problem}: {self.hint}"


class Why(StrEnum):
    """Why a tool does not suit a value, or what must be known before it is used."""

    NOTHING = "nothing"
    NO_WRENCH = "no_wrench"
    NO_ADAPTER = "no_adapter"
    NO_GAUGE = "no_gauge"
    NOT_IN_FILE = "not_in_file"
    LEVER = "lever"
    RATIO = "ratio"
    RATING = "rating"
    BELOW_SCALE = "below_scale"
    ABOVE_SCALE = "above_scale"
    TOO_COARSE = "too_coarse"
    DRAG = "drag"
    DUE = "due"
    LOWEST_FIFTH = "lowest_fifth"
    ARM = "arm"


@dataclass(frozen=True, slots=True)
class Unfit(Fault):
    """A fault of a tool: its ``code``, the id of the ``tool``, and the ``reasons`` when no tool at all suits.

    ``ear`` are its sentences for the ear, where problem and hint would put two numbers into one sentence.
    """

    code: Why = Why.NOTHING
    tool: str = ""
    reasons: tuple[Unfit, ...] = ()
    ear: tuple[str, ...] = ()


def quoted(text: str) -> str:
    r"""Show a ``text`` [characters] that may be long or hold control characters on one short line.

    Source: ours.

    >>> quoted("a\tb")
    '"a b"'
    """
    line = "".join(letter if letter.isprintable() else " " for letter in text[: LONGEST + 1]).strip()
    return f'"{line[:LONGEST]}{"..." if len(text) > LONGEST else ""}"'
