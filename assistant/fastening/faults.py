"""Why a tool does not suit a value, as a value with a code."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from assistant.faults import Fault


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

    ``ear`` are its sentences for the ear, where reason and advice would put two numbers into one sentence.
    """

    code: Why = Why.NOTHING
    tool: str = ""
    reasons: tuple[Unfit, ...] = ()
    ear: tuple[str, ...] = ()
