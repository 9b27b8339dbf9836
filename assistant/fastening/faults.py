"""Why a tool does not suit a value, as a value with a code."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from assistant.fastening.calibration import Due
from assistant.fastening.quantities import Torque
from assistant.faults import Fault


class Why(StrEnum):
    """Why a tool does not suit a value, or what must be known before it is used."""

    NOTHING = "nothing"
    """No tool at all gives ``value``."""
    NO_WRENCH = "no_wrench"
    NO_ADAPTER = "no_adapter"
    NO_GAUGE = "no_gauge"
    NOT_IN_FILE = "not_in_file"
    LEVER = "lever"
    """The lever of the wrench is not known."""
    REACH = "reach"
    """The adapter reaches back past the hand."""
    RATIO = "ratio"
    """The torque ratio of the multiplier is not known, or is none."""
    RATING = "rating"
    """``value`` is over the rating of the multiplier, ``edge``."""
    BELOW_SCALE = "below_scale"
    """``value`` is below the lowest marking, ``edge``."""
    ABOVE_SCALE = "above_scale"
    """``value`` is above the end of the scale, ``edge``."""
    TOO_COARSE = "too_coarse"
    """The scale has no marking near ``value`` within the limits."""
    DRAG = "drag"
    """The drag of the thread is no drag."""
    DUE = "due"
    """The wrench is due for calibration, as ``due`` says."""
    LOWEST_FIFTH = "lowest_fifth"
    """``value`` is low on the scale."""
    ARM = "arm"
    """The arm of the multiplier pushes back with ``value``."""


@dataclass(frozen=True, slots=True)
class Unfit(Fault):
    """A fault of a tool: its ``code``, the id of the ``tool``, and the ``reasons`` when no tool at all suits.

    The other fields are what a language needs to say it: the ``name`` of the tool, and values as ``code`` tells.
    """

    code: Why = Why.NOTHING
    tool: str = ""
    reasons: tuple[Unfit, ...] = ()
    name: str = ""
    value: Torque | None = None
    edge: Torque | None = None
    due: Due | None = None
