"""What stands on a work sheet, piece by piece: items, warnings, steps, stages, and what is written down at them."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

from assistant.facts.codes import SignalWord
from assistant.fastening.quantities import plain
from assistant.procedure.format.values import written_duration
from assistant.procedure.model import Hazard, HazardScheme, Item, Procedure, Step
from assistant.procedure.only_if import only_if
from assistant.report.sheet.branches import branch_answer, branch_facts, branch_title
from assistant.report.sheet.listed import Listed
from assistant.report.sheet.part import GroupKey, SheetTable, StageTable, sheet_part

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
    table: SheetTable | None = None
    picture: str = ""
    """Name of its photo or drawing; ``photo`` is that as a data address, "" where it is not there."""
    photo: str = ""


class FormMaker:
    """Makes the printed forms of one procedure's chapters; ``room`` [mm] is what a bolt map may take of a page.

    ``pictures`` are data addresses by the names of their files.
    """

    def __init__(self, procedure: Procedure, room: int, pictures: Mapping[str, str] = MappingProxyType({})) -> None:
        self._it = procedure
        self._pictures = pictures
        self._room = room
        self._listed = Listed(procedure)
        self._only_if = only_if(procedure)

    def item(self, item: Item, *, new: bool = False) -> dict[str, str]:
        """Return one line of the preparation list."""
        number = "" if item.quantity is None else plain(item.quantity)
        what = " ".join(part for part in (number or "1", item.unit) if part)
        notes = [item.specification, item.note, "single-use: fitted new" if new and item.single_use else ""]
        notes += (
            [f"only if: {self._only_if[item.id].branch.title or self._only_if[item.id].step.text}"]
            if item.id in self._only_if
            else []
        )
        return {"name": item.name, "quantity": what, "note": "; ".join(note for note in notes if note)}

    def hazard(self, one: Hazard) -> HazardBox:
        """Return a hazard for its box."""
        hurts = one.word in _HURTS[self._it.hazard_scheme]
        return HazardBox(one.word.value.upper(), hurts, one.hazard, one.consequence, one.avoid)

    def chapters(self) -> Iterator[tuple[str, list[SheetStep]]]:
        """Yield the name and the steps of each chapter, the closing steps last."""
        number = 0
        for chapter in self._it.chapters:
            yield chapter.name, list(self._row(chapter.steps, "", number + 1))
            number += len(chapter.steps)
        yield "Closing", list(self._row(self._it.closing, "C"))

    def _row(self, steps: Sequence[Step], before: str, first: int = 1) -> Iterator[SheetStep]:
        """Yield steps numbered from ``first``, each with its branches behind it."""
        for place, one in enumerate(steps, first):
            yield self._step(one, f"{before}{place}")
            for branch in one.branches:
                facts = tuple(branch_facts(self._listed, branch))
                yield SheetStep("", branch_title(branch), "", (), facts, branch_answer(branch))
                yield from self._row(branch.steps, f"{before}{place}.")

    def _step(self, one: Step, number: str) -> SheetStep:
        drawn = sheet_part(one).drawn(self._listed, one)
        return SheetStep(
            number,
            one.text,
            one.info,
            tuple(self.hazard(hazard) for hazard in one.hazards),
            tuple(self._facts(one)),
            self._answer(one),
            drawn.svg,
            round(_drawn_width(drawn.svg) * _LARGER),
            max(_LEAST_ROOM, self._room - _FOR_HAZARD * len(one.hazards)),
            drawn.keys,
            drawn.stages,
            sheet_part(one).table(self._listed, one),
            one.picture,
            self._pictures.get(one.picture, ""),
        )

    def _facts(self, one: Step) -> Iterator[tuple[str, str]]:
        tools = [self._listed.names.get(name, name) for name in one.tools]
        supplies = [self._listed.names.get(name, name) for name in one.supplies]
        for what, things in (("Tools", tools), ("Supplies", supplies)):
            if things:
                yield what, ", ".join(things)
        yield from sheet_part(one).facts(self._listed, one)
        if one.why:
            yield "Why", one.why
        if one.minutes is not None:
            yield "Time", f"{plain(one.minutes)} min"
        if one.people > 1 or one.helper:
            alone = "a helper may do it alone" if one.helper else ""
            yield "People", ", ".join(filter(None, [str(one.people) if one.people > 1 else "", alone]))
        timer = self._listed.timers.get(one.before_timer or "")
        if timer:
            yield "Before the end of", f"{timer.name}, {written_duration(timer.seconds)}"

    def _answer(self, one: Step) -> str:
        """Return what is written down at a step; an underscore is a place to write, a box to tick."""
        clock = self._listed.clock(one.starts_timer) if one.starts_timer else ""
        gate = "Gate: passed by this answer alone; else released by __________   because __________" if one.gate else ""
        seen = "Witness: name __________   signature __________" if one.witness else ""
        photo = "Photo: number __________" if one.photo else ""
        return "\n".join(filter(None, [sheet_part(one).answer(self._listed, one), clock, gate, photo, seen]))


def _drawn_width(svg: str) -> float:
    found = re.search(r'\bwidth="([\d.]+)"', svg)
    return float(found[1]) if found else 0.0
