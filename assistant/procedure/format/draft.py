"""A procedure that was read but not yet checked, with the place in the file of every part of it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from typing import Any, NamedTuple, TypeVar

from assistant.language.chosen import WRITTEN
from assistant.language.port import WrittenLanguage
from assistant.procedure.findings import Level, Place
from assistant.procedure.format.places import Places
from assistant.procedure.format.step_list import STEP_FORMAT
from assistant.procedure.kinds import KINDS
from assistant.procedure.model import Group, Procedure, Step

_T = TypeVar("_T")
_S = TypeVar("_S", bound=Step)


@dataclass(frozen=True, slots=True)
class Draft:
    """What the rules look at. Parts that could not be read are there with harmless values, and are not sound."""

    procedure: Procedure
    places: Places
    _made: dict[Any, Any] = field(default_factory=dict, compare=False, repr=False)

    def once(self, make: Callable[[Draft], _T]) -> _T:
        """Return what ``make`` makes of this draft; it is made once, however many rules ask for it."""
        if make not in self._made:
            self._made[make] = make(self)
        made: _T = self._made[make]
        return made

    @property
    def written(self) -> WrittenLanguage:
        """Return the language of the texts."""
        return WRITTEN

    @property
    def whole(self) -> bool:
        """Return whether every step was read soundly, so that what no step says is not said."""
        return self.once(_is_whole)

    def step_place(self, step: Step) -> Place:
        """Return the place of the text of ``step``, behind the key that makes it."""
        part = KINDS.find(step, STEP_FORMAT)
        return (self.places.under(step, part.kind) if part is not None else None) or self.places.of(step)

    def every_step(self) -> tuple[Step, ...]:
        """Return all steps in the order of the work, those of branches behind theirs, closing requirements last."""
        return self.once(_every_step)

    def sound_steps(self) -> tuple[Step, ...]:
        """Return all steps when every one of them was read soundly, and none otherwise."""
        return self.every_step() if self.whole else ()

    def sound_groups(self) -> dict[str, Group]:
        """Return the groups that were read soundly, by their id."""
        return {group.id: group for group in self.procedure.groups if self.places.sound(group)}

    def steps_of(self, kind: type[_S]) -> list[_S]:
        """Return the steps of one kind, in the order of the work."""
        return [step for step in self.every_step() if isinstance(step, kind)]


def _every_step(draft: Draft) -> tuple[Step, ...]:
    return draft.procedure.every_step


def _is_whole(draft: Draft) -> bool:
    return not draft.places.lost and draft.places.sound(*draft.every_step())


class Complaint(NamedTuple):
    """What a rule has to say: where, what is wrong, and what to write instead."""

    place: Place
    reason: str
    advice: str
    level: Level = Level.ERROR


Rule = Callable[[Draft], Iterator[Complaint]]
"""A rule looks at the whole draft and yields all its complaints; its name is its id, its docstring its meaning."""
RULES: list[Rule] = []
"""Every rule, in the order in which their modules are imported."""


def rule(function: Rule) -> Rule:
    """Make ``function`` one of the rules that ``assistant check`` runs."""
    RULES.append(function)
    return function
