"""A step that fits new parts."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from assistant.procedure.format.base import Key
from assistant.procedure.format.forms import refers, whole
from assistant.procedure.format.records import must
from assistant.procedure.format.steps import step_format
from assistant.procedure.format.values import MOST_BOLTS
from assistant.procedure.model import Group, Step, Traits


@dataclass(frozen=True, slots=True)
class FitStep(Step):
    """Fit new parts of one spare; the mechanic answers with the number of new ones fitted."""

    traits: ClassVar[Traits] = Traits(puts_on=True, handles=True, names_new=False)

    spare: str = ""
    quantity: int = 1

    @property
    def fits(self) -> tuple[str, ...]:
        """Return the one spare."""
        return (self.spare,)

    def begins_anew(self, group: Group) -> bool:
        """Return whether new fasteners of ``group`` are fitted."""
        return group.spare == self.spare


step_format(
    FitStep,
    "fit",
    "Fit new parts: the command, as it is spoken.",
    must("spare", refers("spare"), "Id of the spare."),
    Key("quantity", whole(MOST_BOLTS, 1), "How many new ones; one when left out."),
)
