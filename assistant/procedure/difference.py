"""What differs between two procedures, step by step, in words for people.

Steps, groups, timers, items and persons are told apart by their ids (persons by their kind, conditions and hazards by
their text); a step that has no id of its own by its text, because its made-up id changes with its place.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from difflib import SequenceMatcher
from enum import StrEnum
from typing import Any

from assistant.procedure.format.document import HEAD
from assistant.procedure.format.groups import GROUP
from assistant.procedure.format.records import KeyTable
from assistant.procedure.format.step_list import spread_step
from assistant.procedure.format.things import EQUIPMENT, HAZARD, PERSON, SPARE, SUPPLY, TIMER
from assistant.procedure.model import Procedure, Step

_MADE_ID = re.compile(r"(?:step|closing)-\d+")


class Change(StrEnum):
    """What became of a thing."""

    ADDED = "added"
    REMOVED = "removed"
    CHANGED = "changed"
    MOVED = "moved"


@dataclass(frozen=True, slots=True)
class Difference:
    """One thing that differs: its kind, its name, what became of it, and the values that changed, in words."""

    kind: str
    name: str
    change: Change
    details: tuple[str, ...] = ()

    def __str__(self) -> str:
        """Return the difference on lines of text; the details are indented."""
        return "\n".join([f"{self.kind} {self.name}: {self.change}", *(f"    {line}" for line in self.details)])


def differences(old: Procedure, new: Procedure) -> tuple[Difference, ...]:
    """Return all differences: the head, what must be at hand, groups, timers, then the steps in their order."""
    return tuple(_differences(old, new))


def counted_differences(changes: Iterable[Difference]) -> tuple[list[tuple[Change, int]], int]:
    """Return how many steps became what, and how many other things differ.

    >>> counted_differences([Difference("step", "a", Change.CHANGED), Difference("group", "b", Change.ADDED)])
    ([(<Change.CHANGED: 'changed'>, 1)], 1)
    """
    found = list(changes)
    steps = [one.change for one in found if one.kind == "step"]
    return [(change, steps.count(change)) for change in Change if change in steps], len(found) - len(steps)


def _differences(old: Procedure, new: Procedure) -> Iterator[Difference]:
    head = _details(_mapping(HEAD, old), _mapping(HEAD, new))
    if head:
        yield Difference("the head of", new.id, Change.CHANGED, head)
    tables: tuple[tuple[str, str, KeyTable[Any]], ...] = (
        ("tool", "support_equipment", EQUIPMENT),
        ("supply", "supplies", SUPPLY),
        ("spare", "spares", SPARE),
        ("person", "persons", PERSON),
        ("group", "groups", GROUP),
        ("timer", "timers", TIMER),
        ("hazard", "safety", HAZARD),
    )
    for kind, attribute, table in tables:
        before, after = (
            {_key(thing): _mapping(table, thing) for thing in getattr(procedure, attribute)} for procedure in (old, new)
        )
        yield from _compared(kind, before, after)
    conditions = ({text: {"condition": text} for text in procedure.conditions} for procedure in (old, new))
    yield from _compared("condition", *conditions)
    yield from _steps(old, new)


def _mapping(table: KeyTable[Any], thing: object) -> dict[str, Any]:
    """Return the keys of ``table`` and the values that ``thing`` has for them, as they stand in a file."""
    made: Any = table.write(thing)
    return dict(made)


def _key(thing: Any) -> str:
    return str(getattr(thing, "id", "") or getattr(thing, "kind", "") or getattr(thing, "hazard", ""))


def _compared(
    kind: str, before: Mapping[str, dict[str, Any]], after: Mapping[str, dict[str, Any]]
) -> Iterator[Difference]:
    for name in before:
        if name not in after:
            yield Difference(kind, _shown(name), Change.REMOVED)
    for name, mapping in after.items():
        if name not in before:
            yield Difference(kind, _shown(name), Change.ADDED, tuple(_lines(mapping)))
        elif details := _details(before[name], mapping):
            yield Difference(kind, _shown(name), Change.CHANGED, details)


def _shown(name: str) -> str:
    return name if re.fullmatch(r"[a-z0-9-]+", name) else f'"{name}"'


def _steps(old: Procedure, new: Procedure) -> Iterator[Difference]:
    before, after = _named_steps(old), _named_steps(new)
    names = list(before)
    blocks = SequenceMatcher(None, names, list(after), autojunk=False).get_matching_blocks()
    kept = {names[block.a + place] for block in blocks for place in range(block.size)}
    for name, (step, chapter) in before.items():
        if name not in after:
            yield Difference("step", _shown(name), Change.REMOVED, (f'in "{chapter}": "{step.text}"',))
    previous = ""
    for name, (step, chapter) in after.items():
        where = f"after {_shown(previous)}" if previous else "first of all"
        if name not in before:
            lines = (f'in "{chapter}", {where}', *_lines(_without_id(step)))
            yield Difference("step", _shown(name), Change.ADDED, lines)
        else:
            old_step, old_chapter = before[name]
            details = _details(_without_id(old_step), _without_id(step))
            if details:
                yield Difference("step", _shown(name), Change.CHANGED, details)
            if name not in kept:
                yield Difference("step", _shown(name), Change.MOVED, (f'now in "{chapter}", {where}',))
            elif chapter != old_chapter:
                yield Difference("step", _shown(name), Change.MOVED, (f'from "{old_chapter}" to "{chapter}"',))
        previous = name


def _named_steps(procedure: Procedure) -> dict[str, tuple[Step, str]]:
    """Return the steps by their names, each with the name of its chapter."""
    chapters = [*((one.name, one.steps) for one in procedure.chapters), ("Closing", procedure.closing)]
    named: dict[str, tuple[Step, str]] = {}
    for chapter, steps in chapters:
        for step in steps:
            name = step.text if _MADE_ID.fullmatch(step.id) else step.id
            while name in named:
                name += " again"
            named[name] = (step, chapter)
    return named


def _without_id(step: Step) -> dict[str, Any]:
    """Return the values of a step, each where it belongs, so that one that changes does not move the others."""
    return {key: value for key, value in spread_step(step).items() if key != "id"}


def _details(before: Mapping[str, Any], after: Mapping[str, Any]) -> tuple[str, ...]:
    old, new = dict(_flat(before)), dict(_flat(after))
    lines = []
    for path in dict.fromkeys([*old, *new]):
        was, now = old.get(path), new.get(path)
        if was is None:
            lines.append(f"{path}: {now} (new)")
        elif now is None:
            lines.append(f"{path}: {was} (gone)")
        elif was != now:
            lines.append(f"{path}: {was} became {now}")
    return tuple(lines)


def _lines(mapping: Mapping[str, Any]) -> Iterator[str]:
    yield from (f"{path}: {value}" for path, value in _flat(mapping))


def _flat(value: Any, path: str = "") -> Iterator[tuple[str, str]]:
    """Yield every single value with its path in words, such as ``stage 2, run 1, torque``."""
    if isinstance(value, Mapping):
        for key, inside in value.items():
            yield from _flat(inside, f"{path}, {key.replace('_', ' ')}" if path else key.replace("_", " "))
    elif isinstance(value, list) and any(isinstance(item, Mapping) for item in value):
        for place, item in enumerate(value, 1):
            yield from _flat(item, f"{path.removesuffix('s')} {place}")
    elif isinstance(value, list):
        yield path, ", ".join(map(str, value))
    elif value is not None:
        yield path, str(value)
