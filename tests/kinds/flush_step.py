"""The class of the step, and its keys in the file."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from assistant.procedure.format.base import Key
from assistant.procedure.format.forms import number
from assistant.procedure.format.steps import step_format
from assistant.procedure.model import Step


@dataclass(frozen=True, slots=True)
class FlushStep(Step):
    """Flush a circuit, until at least so many litres went through it."""

    litres: Decimal = Decimal(0)


def attach() -> None:
    """Make the step known to the file format."""
    step_format(
        FlushStep,
        "flush",
        "Flush: the command, as it is spoken.",
        Key("litres", number("litres", "0.1", "999"), "Litres that must go through, at least.", required=True),
    )
