"""A step that counts fasteners out or in."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from assistant.facts.codes import Direction
from assistant.faults import Fault
from assistant.procedure.format.base import Alternatives, Key
from assistant.procedure.format.forms import TOLD, refers
from assistant.procedure.format.records import chosen
from assistant.procedure.format.steps import step_format
from assistant.procedure.model import Group, Step, Traits


@dataclass(frozen=True, slots=True)
class CountStep(Step):
    """Count the fasteners of one group out of the machine or back into it. ``place`` is where they are put down."""

    traits: ClassVar[Traits] = Traits(puts_on=True, handles=True)

    group: str = ""
    direction: Direction = Direction.OUT
    place: str = ""

    @property
    def takes_out(self) -> str:
        """Return the group, where its fasteners come out."""
        return self.group if self.direction is Direction.OUT else ""

    def begins_anew(self, group: Group) -> bool:
        """Return whether the fasteners of ``group`` are counted out or in."""
        return group.id == self.group


_WAYS = Alternatives(
    "direction",
    {way.value: way for way in Direction},
    Fault("A count step counts one group out or in", "write out: or in: and the id of the group"),
    "group",
)
step_format(
    CountStep,
    "count",
    "Count fasteners: the command, as it is spoken.",
    Key("out", refers("group"), "Id of the group that comes out.", "group"),
    Key("in", refers("group"), "Id of the group that goes back in.", "group"),
    Key("place", TOLD, "Where they are put down, or taken from."),
    parts=chosen(_WAYS),
    alternatives=_WAYS,
)
