"""A step that does something, and may fill in an amount."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import ClassVar

from assistant.procedure.amounts import Amount
from assistant.procedure.findings import ReadingRule
from assistant.procedure.format.base import Given, Key
from assistant.procedure.format.codecs import ListOf
from assistant.procedure.format.forms import AMOUNT, LIMITS
from assistant.procedure.format.rows import CALLED
from assistant.procedure.format.steps import step_format
from assistant.procedure.model import Limits, Step, Traits

FREE = Decimal(10)
"""So many percent may what was filled in differ from the amount where nothing says how much. Ours, not published."""


@dataclass(frozen=True, slots=True)
class DoStep(Step):
    """Do something, then say next; with an ``amount``, say how much was really filled in."""

    traits: ClassVar[Traits] = Traits(takes_off=True, puts_on=True, handles=True, may_turn=True)

    amount: Amount | None = None
    limits: Limits | None = None
    """Those of the amount; None: :data:`FREE` percent either way."""
    shim_for: tuple[str, ...] = ()
    """The clearances, and what else has a pack, whose proposed shims are put in here, by their names."""

    @property
    def bounds(self) -> tuple[Decimal | None, Decimal | None]:
        """Return the least and the most that may be filled in [unit of the amount]; None where there is no end."""
        if self.limits is not None:
            return self.limits.low, self.limits.high
        if self.amount is None:
            return None, None
        off = self.amount.value * FREE / 100
        return self.amount.value - off, self.amount.value + off


def _of_an_amount(given: Given) -> None:
    if "limits" in given and "amount" not in given:
        reason = "These are limits of an amount, and there is none"
        given.complain(
            given.node.keys["limits"], ReadingRule.UNKNOWN_KEY, reason, "write amount: too, or make it a check"
        )


step_format(
    DoStep,
    "do",
    "Do something: the command, as it is spoken.",
    Key("amount", AMOUNT, "How much is filled in or used up, with its unit: l, ml, kg or g, US gal, US qt, US pt, "
        "US fl oz, lb or oz. How much it really was is asked for."),
    Key("limits", LIMITS, "Limits of the amount, in its unit; ten percent either way when left out."),
    Key("shim for", ListOf(CALLED), "The clearances, or what has a pack, whose proposed shims are put in here: a list "
        "of the names of their readings, or of what a pack is for. They are said and shown.", "shim_for"),
    check=_of_an_amount,
)  # fmt: skip
