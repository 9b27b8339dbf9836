"""A procedure that was read but not yet checked, with the place in the file of every part of it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from typing import Any, NamedTuple, TypeVar

from assistant.procedure.findings import At, Level, Place
from assistant.procedure.format.keys import KINDS
from assistant.procedure.format.tree import ListNode, MapNode, Node, ScalarNode
from assistant.procedure.model import Procedure, Step
from assistant.procedure.steps.count import CountStep
from assistant.procedure.steps.fit import FitStep
from assistant.procedure.steps.tighten import TightenStep

T = TypeVar("T")


class Places:
    """Where each value of the model stands, and whether it was read without a complaint.

    Values are told apart by identity, because two equal steps stand in two places; they are kept here so that no
    identity is used twice.
    """

    def __init__(self) -> None:
        self.lost = False
        """Whether there is a step of which nobody knows what kind it is; sums over all steps mean nothing then."""
        self._nodes: dict[int, tuple[object, MapNode, bool]] = {}

    def add(self, value: object, node: MapNode, *, sound: bool) -> None:
        """Note that ``value`` was read from ``node``; ``sound`` when nothing in it was complained about."""
        self._nodes[id(value)] = (value, node, sound)

    def sound(self, *values: object) -> bool:
        """Return whether all ``values`` were read without a complaint; a rule says nothing about what is not sound."""
        return all(self._nodes[id(value)][2] for value in values if id(value) in self._nodes)

    def of(self, value: object, *path: str | int) -> Place:
        """Return the place of ``value``, or of what stands in it under keys and positions, as far as that is there."""
        known = self._nodes.get(id(value))
        if known is None:
            return At()
        node: Node = known[1]
        for part in path:
            if isinstance(node, MapNode) and isinstance(part, str) and part in node.values:
                node = node.values[part]
            elif isinstance(node, ListNode) and isinstance(part, int) and part < len(node.items):
                node = node.items[part]
            else:
                break
        return node

    def under(self, value: object, key: str) -> Place | None:
        """Return the place of what stands under ``key`` of ``value``; None when the key is not there."""
        known = self._nodes.get(id(value))
        return None if known is None else known[1].values.get(key)

    def texts(self, value: object, but: tuple[str, ...]) -> Iterator[ScalarNode]:
        """Yield every single value in ``value``, in the order of the file, but those of some keys."""
        known = self._nodes.get(id(value))
        if known is not None:
            yield from _scalars(known[1], but)

    def spans(self) -> Iterator[tuple[str, Place, Place]]:
        """Yield the id of every thing that has one, with the places of its beginning and of its last value."""
        for value, node, _ in self._nodes.values():
            name = getattr(value, "id", "")
            if isinstance(name, str) and name and not isinstance(value, Procedure):
                yield name, node, _last(node)


def _scalars(node: Node, but: tuple[str, ...]) -> Iterator[ScalarNode]:
    if isinstance(node, ScalarNode):
        yield node
    inside = node.items if isinstance(node, ListNode) else ()
    if isinstance(node, MapNode):
        inside = [value for key, value in node.values.items() if key not in but]
    for one in inside:
        yield from _scalars(one, but)


def _last(node: Node) -> Node:
    """Return the node that stands last in ``node``."""
    inside = (
        node.items if isinstance(node, ListNode) else list(node.values.values()) if isinstance(node, MapNode) else []
    )
    return max(map(_last, inside), key=lambda one: (one.line, one.column), default=node)


@dataclass(frozen=True, slots=True)
class Draft:
    """What the rules look at. Parts that could not be read are there with harmless values, and are not sound."""

    procedure: Procedure
    places: Places
    _made: dict[Any, Any] = field(default_factory=dict, compare=False, repr=False)

    def once(self, make: Callable[[Draft], T]) -> T:
        """Return what ``make`` makes of this draft; it is made once, however many rules ask for it."""
        if make not in self._made:
            self._made[make] = make(self)
        made: T = self._made[make]
        return made

    @property
    def whole(self) -> bool:
        """Return whether every step was read soundly, so that what no step says is not said."""
        return self.once(_is_whole)

    def step_place(self, step: Step) -> Place:
        """Return the place of the text of ``step``, behind the key that makes it."""
        return next((place for kind in KINDS if (place := self.places.under(step, kind))), self.places.of(step))

    def every_step(self) -> tuple[Step, ...]:
        """Return all steps in the order of the work, closing requirements last."""
        return self.once(_every_step)

    def sound_steps(self) -> tuple[Step, ...]:
        """Return all steps when every one of them was read soundly, and none otherwise."""
        return self.every_step() if self.whole else ()

    def counts(self) -> list[CountStep]:
        """Return the steps that count fasteners, in the order of the work."""
        return [step for step in self.every_step() if isinstance(step, CountStep)]

    def fits(self) -> list[FitStep]:
        """Return the steps that fit new parts, in the order of the work."""
        return [step for step in self.every_step() if isinstance(step, FitStep)]

    def tightens(self) -> list[TightenStep]:
        """Return the steps that tighten, in the order of the work."""
        return [step for step in self.every_step() if isinstance(step, TightenStep)]


def _every_step(draft: Draft) -> tuple[Step, ...]:
    return (*draft.procedure.steps, *draft.procedure.closing)


def _is_whole(draft: Draft) -> bool:
    return not draft.places.lost and draft.places.sound(*draft.every_step())


class Complaint(NamedTuple):
    """What a rule has to say: where, and one sentence without its full stop."""

    place: Place
    text: str
    level: Level = Level.ERROR


Rule = Callable[[Draft], Iterator[Complaint]]
"""A rule looks at the whole draft and yields all its complaints; its name is its id, its docstring its meaning."""
