"""Why a tool does not suit a value, as a value with a code."""

from __future__ import annotations

from dataclasses import dataclass

from assistant.facts.codes import Why
from assistant.fastening.calibration import Due
from assistant.fastening.quantities import Torque
from assistant.faults import Fault


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
