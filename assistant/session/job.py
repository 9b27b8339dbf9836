"""What does not change while a job is worked through: its procedure as a row of places."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from typing import Any, TypeVar

from assistant.events import SURE_READING
from assistant.facts.inputs import ToolFile
from assistant.fastening.tools import ToolBox
from assistant.language.values import StepAt
from assistant.procedure.format.tool_file import read_kept_tools
from assistant.procedure.model import Group, Item, Procedure, Step, Timer, with_branches
from assistant.procedure.refits import Refit, refits_of
from assistant.session.places import AnyPlace, StepPlace, places_of

_S = TypeVar("_S", bound=Step)
_T = TypeVar("_T")


class Job:
    """A procedure as the session goes through it. It is made once; nothing in it follows from what happens."""

    def __init__(self, procedure: Procedure, sure_reading: Decimal = Decimal(str(SURE_READING))) -> None:
        """Go through ``procedure``; a reading heard less surely than ``sure_reading`` (0 to 1) is said back."""
        self.procedure = procedure
        self.sure_reading = sure_reading
        self.places: tuple[AnyPlace, ...] = places_of(procedure)
        self.index: dict[str, int] = {place.key: number for number, place in enumerate(self.places)}
        self.groups: dict[str, Group] = {group.id: group for group in procedure.groups}
        self.timers: dict[str, Timer] = {timer.id: timer for timer in procedure.timers}
        self.items: dict[str, Item] = {
            item.id: item
            for items in (procedure.support_equipment, procedure.supplies, procedure.spares)
            for item in items
        }
        self.refits: tuple[Refit, ...] = refits_of(with_branches(procedure.steps))
        self._made: dict[Callable[[Job], Any], Any] = {}
        self._steps: dict[type[Step], list[Any]] = {}
        self._boxes: dict[tuple[str, str, tuple[tuple[str, int], ...]], ToolBox | None] = {}
        self.plans: dict[Any, Any] = {}
        """Plans of tools that were made, by all that they follow from."""
        self.last_plan: tuple[Any, Any] | None = None
        """The plan of the work that was made last, and what it follows from (:mod:`assistant.session.planning`)."""

    def steps_of(self, kind: type[_S]) -> list[_S]:
        """Return all steps of one kind, closing steps too."""
        if kind not in self._steps:
            steps = [place.step for place in self.places if isinstance(place, StepPlace)]
            self._steps[kind] = [step for step in steps if isinstance(step, kind)]
        return self._steps[kind]

    def step_at(self, step: Step) -> StepAt:
        """Return how ``step`` is called."""
        place = self.places[self.index[step.id]]
        return place.called if isinstance(place, StepPlace) else StepAt(0)

    def once(self, make: Callable[[Job], _T]) -> _T:
        """Return what ``make`` makes of this job, which is made once."""
        if make not in self._made:
            self._made[make] = make(self)
        made: _T = self._made[make]
        return made

    def box(self, tools: ToolFile | None) -> ToolBox | None:
        """Return the tools of a tool file with their clicks; None without a file, or if it cannot be read any more."""
        if tools is None:
            return None
        clicks = tuple(sorted(tools.clicks.items()))
        key = (tools.name, tools.sha256, clicks)
        if key not in self._boxes:
            box = read_kept_tools(tools.yaml.encode(), tools.name)
            self._boxes[key] = None if box is None else box.with_clicks(dict(clicks))
        return self._boxes[key]
