"""What stands on a work sheet, piece by piece: items, warnings, steps, stages, and what is written down at them."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from assistant.drawing.bolt_map import bolt_map_svg
from assistant.drawing.marks import look, shape
from assistant.fastening.quantities import plain
from assistant.procedure.format.forms import written_bolts
from assistant.procedure.format.values import written_duration, written_limits
from assistant.procedure.model import Group, Hazard, HazardScheme, Item, Procedure, SignalWord, Step, Timer, TimerKind
from assistant.procedure.programme_text import extras_text, stage_text, target_text
from assistant.procedure.steps.check import CheckStep
from assistant.procedure.steps.count import CountStep, Direction
from assistant.procedure.steps.fit import FitStep
from assistant.procedure.steps.tighten import Run, Stage, TightenStep
from assistant.procedure.steps.wait import WaitStep

ROOM = {"a4": 170, "letter": 150}
"""Height that a bolt map may take with its step and its legend on the same page, by paper [mm]."""
_FOR_HAZARD, _LEAST_ROOM = 22, 80
"""Height that a hazard takes of it, and what is left at least [mm]."""
_LARGER = 1.35
"""A bolt map is drawn for a screen; on paper that lies beside the engine it is larger, where it has the room."""
_HURTS = {
    HazardScheme.ANSI: {SignalWord.DANGER, SignalWord.WARNING, SignalWord.CAUTION},
    HazardScheme.S1000D: {SignalWord.DANGER, SignalWord.WARNING},
}
"""The words that are about injury, which have the triangle (ANSI Z535: none on a notice, from memory)."""


@dataclass(frozen=True, slots=True)
class HazardBox:
    """A hazard as it is printed."""

    word: str
    hurts: bool
    hazard: str
    consequence: str
    avoid: str


@dataclass(frozen=True, slots=True)
class RunLine:
    """One run of a stage: its group, its target, its limits and the like, and its bolts in order."""

    group: str
    target: str
    more: str
    bolts: tuple[int, ...]
    reads: bool
    """Whether a value is read off at each bolt."""


@dataclass(frozen=True, slots=True)
class StageTable:
    """One stage: its title, its tool, what else to know, and its runs."""

    title: str
    tool: str
    notes: tuple[str, ...]
    runs: tuple[RunLine, ...]


@dataclass(frozen=True, slots=True)
class GroupKey:
    """What a shape on a bolt map stands for."""

    shape: str
    """SVG of our own."""
    text: str
    hidden: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class SheetStep:
    """One step as it is printed: ``answer`` is what is written down at it, ``facts`` what else must be known."""

    number: str
    text: str
    info: str
    hazards: tuple[HazardBox, ...]
    facts: tuple[tuple[str, str], ...]
    answer: str
    drawing: str = ""
    """SVG of our own, in which the words of people are escaped."""
    width: int = 0
    height: int = 0
    """Width of the drawing on the paper [CSS px] and most height [mm]; it is scaled down to hold both."""
    keys: tuple[GroupKey, ...] = ()
    stages: tuple[StageTable, ...] = ()


class FormMaker:
    """Makes the printed forms of one procedure's chapters; ``room`` [mm] is what a bolt map may take of a page."""

    def __init__(self, procedure: Procedure, room: int) -> None:
        self._it = procedure
        self._room = room
        self._groups: Mapping[str, Group] = {group.id: group for group in procedure.groups}
        self._timers: Mapping[str, Timer] = {timer.id: timer for timer in procedure.timers}
        lists = (procedure.support_equipment, procedure.supplies, procedure.spares)
        self._names: Mapping[str, str] = {item.id: item.name for items in lists for item in items}

    def item(self, item: Item, *, new: bool = False) -> dict[str, str]:
        """Return one line of the preparation list."""
        number = "" if item.quantity is None else plain(item.quantity)
        what = " ".join(part for part in (number or "1", item.unit) if part)
        notes = [item.specification, item.note, "single-use: fitted new" if new and item.single_use else ""]
        return {"name": item.name, "quantity": what, "note": "; ".join(note for note in notes if note)}

    def hazard(self, one: Hazard) -> HazardBox:
        """Return a hazard for its box."""
        hurts = one.word in _HURTS[self._it.hazard_scheme]
        return HazardBox(one.word.value.upper(), hurts, one.hazard, one.consequence, one.avoid)

    def chapters(self) -> Iterator[tuple[str, list[SheetStep]]]:
        """Yield the name and the steps of each chapter, the closing steps last."""
        number = 0
        for chapter in self._it.chapters:
            yield chapter.name, [self._step(one, str(place)) for place, one in enumerate(chapter.steps, number + 1)]
            number += len(chapter.steps)
        yield "Closing", [self._step(one, f"C{place}") for place, one in enumerate(self._it.closing, 1)]

    def _step(self, one: Step, number: str) -> SheetStep:
        stages = one.stages if isinstance(one, TightenStep) else ()
        named = dict.fromkeys(run.group for stage in stages for run in stage.runs)
        groups = [self._groups[name] for name in named]
        several = sum(len(group.bolts) for group in groups) > 1
        drawing = bolt_map_svg(groups, stages, legend=False) if several else ""
        return SheetStep(
            number,
            one.text,
            one.info,
            tuple(self.hazard(hazard) for hazard in one.hazards),
            tuple(self._facts(one)),
            self._answer(one),
            drawing,
            round(_drawn_width(drawing) * _LARGER),
            max(_LEAST_ROOM, self._room - _FOR_HAZARD * len(one.hazards)),
            tuple(self._key(place, group) for place, group in enumerate(groups)) if several else (),
            tuple(self._stage(place, stage) for place, stage in enumerate(stages, 1)),
        )

    def _key(self, place: int, group: Group) -> GroupKey:
        """Return the line about the group that has this ``place`` on a map, which is its shape there."""
        mark = shape(look(place), (9.0, 9.0), 7.0)
        what = ", ".join(part for part in (group.size, group.thread, group.strength, group.where) if part)
        return GroupKey(
            f'<svg width="18" height="18" viewBox="0 0 18 18">{mark}</svg>',
            f"{group.name}, {_bolts(group.bolts)}: {what}.",
            tuple(f"bolt {one.bolt}, {one.where}" for one in group.hidden),
        )

    def _facts(self, one: Step) -> Iterator[tuple[str, str]]:
        tools = [self._names.get(name, name) for name in one.tools]
        supplies = [self._names.get(name, name) for name in one.supplies]
        for what, things in (("Tools", tools), ("Supplies", supplies)):
            if things:
                yield what, ", ".join(things)
        if isinstance(one, CountStep):
            group = self._groups[one.group]
            yield "Bolts", f"{_bolts(group.bolts)}; {group.size}{f'; {group.where}' if group.where else ''}"
            if group.single_use and one.direction is Direction.OUT:
                yield "Never used again", "new ones are fitted"
            for hidden in group.hidden:
                yield "Hidden", f"bolt {hidden.bolt}, {hidden.where}"
            if one.place:
                yield "Place", one.place
        if one.minutes is not None:
            yield "Time", f"{plain(one.minutes)} min"
        timer = self._timers.get(one.before_timer or "")
        if timer:
            yield "Before the end of", f"{timer.name}, {written_duration(timer.seconds)}"

    def _answer(self, one: Step) -> str:
        """Return what is written down at a step; an underscore is a place to write, a box to tick."""
        lines = []
        match one:
            case CheckStep(limits=limits) if limits is not None:
                lines.append(f"Reading __________ {limits.unit}   ({written_limits(limits)})")
            case CheckStep():
                lines.append(f"☐ yes   ☐ no   (must be {'yes' if one.expect else 'no'})")
            case CountStep():
                way = "out" if one.direction is Direction.OUT else "in"
                lines.append(f"Counted {way} __________   (of {len(self._groups[one.group].bolts)})")
            case FitStep():
                lines.append(f"New ones fitted __________   (of {one.quantity})")
            case WaitStep():
                lines.append(self._clock(one.timer))
        if one.starts_timer:
            lines.append(self._clock(one.starts_timer))
        return "\n".join(lines)

    def _clock(self, name: str) -> str:
        timer = self._timers[name]
        over = "join by" if timer.kind is TimerKind.OPEN else "over at"
        return f"{timer.name.capitalize()}, {written_duration(timer.seconds)}: began at __________   {over} __________"

    def _stage(self, number: int, stage: Stage) -> StageTable:
        notes = (stage.note, stage.exception)
        tool = self._names.get(stage.tool or "", "")
        runs = tuple(self._run(stage, run) for run in stage.runs)
        return StageTable(stage_text(number, stage), tool, tuple(filter(None, notes)), runs)

    def _run(self, stage: Stage, run: Run) -> RunLine:
        reads = run.low is not None or run.high is not None
        return RunLine(self._groups[run.group].name, target_text(stage, run), extras_text(run), run.bolts, reads)


def _drawn_width(svg: str) -> float:
    found = re.search(r'\bwidth="([\d.]+)"', svg)
    return float(found[1]) if found else 0.0


def _bolts(bolts: Sequence[int]) -> str:
    written = written_bolts(bolts)
    ranges = written if isinstance(written, str) else ", ".join(written)
    return f"{len(bolts)} ({ranges})"
