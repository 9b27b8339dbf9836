"""Bolts that broke, are stripped, lost or wrong, and what was dropped, in the record: who, when, and how it ended."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from assistant.facts.asking import Deviated, DeviationWhat
from assistant.facts.codes import FreedHow
from assistant.facts.inputs import Resumed
from assistant.facts.kinds.trouble import BoltFreed, BoltHeld, Dropped, DroppedFound, HoldTakenBack
from assistant.facts.people import HandedOver, OperatorsNamed
from assistant.journal.port import Entry
from assistant.procedure.model import Procedure
from assistant.report.record.kinds.trouble_words import HOW, WHAT, dropped_words
from assistant.report.record.model import How, Open, TroubleLine


def trouble_lines(
    procedure: Procedure | None, entries: Sequence[Entry], how: Mapping[int, How]
) -> tuple[TroubleLine, ...]:
    """Return every trouble in the order in which it was told, with what became of it."""
    names = {group.id: group.name for group in procedure.groups} if procedure else {}
    rows: list[TroubleLine] = []
    at: dict[tuple[str, int], int] = {}
    """Number of the row of a bolt that is held open (group and number), or of what was dropped ("" and number)."""
    who = ""

    def ends(key: tuple[str, int], entry: Entry, words: str, *, is_over: bool = True) -> None:
        row = at.get(key)
        if row is not None:
            rows[row] = replace(
                rows[row],
                ended=words,
                ended_entry=entry.seq,
                ended_ms=entry.at_ms,
                ended_by=who or "name not given",
                open=not is_over,
            )

    for entry in entries:
        match entry.fact:
            case OperatorsNamed(names=named):
                who = who or named.partition(",")[0].strip()
            case HandedOver(taken_by=name) | Resumed(operator=str(name)) if name:
                who = name
            case BoltHeld() as fact:
                ends((fact.group, fact.bolt), entry, f"told to be otherwise: {WHAT[fact.what]}")
                at[fact.group, fact.bolt] = len(rows)
                what = f"{names.get(fact.group, fact.group)} {fact.bolt}: {WHAT[fact.what]}"
                rows.append(_row(entry, fact.step, what, who, how))
            case BoltFreed() as fact:
                ends((fact.group, fact.bolt), entry, HOW[fact.how])
                at.pop((fact.group, fact.bolt), None)
            case HoldTakenBack() as fact:
                ends((fact.group, fact.bolt), entry, "TAKEN BACK")
                at.pop((fact.group, fact.bolt), None)
            case Dropped() as fact:
                at["", fact.number] = len(rows)
                rows.append(_row(entry, fact.step, f"{dropped_words(fact)}: may lie in the machine", who, how))
            case DroppedFound() as fact:
                ends(("", fact.number), entry, "out of the machine again")
            case Deviated(what=DeviationWhat.BOLT_HELD) as fact:
                for bolt in fact.bolts:
                    ends((fact.group, bolt), entry, f"LEFT SO: {fact.reason}", is_over=False)
            case Deviated(what=DeviationWhat.DROPPED) as fact:
                for _, number in fact.things:
                    ends(("", number), entry, f"NOT FOUND: {fact.reason}", is_over=False)
    return tuple(rows)


def _row(entry: Entry, step: str | None, what: str, who: str, how: Mapping[int, How]) -> TroubleLine:
    return TroubleLine(entry.seq, entry.at_ms, step or "", what, who or "name not given", how[entry.seq])


def open_troubles(entries: Sequence[Entry]) -> Iterator[Open]:
    """Yield what is held open, and what may lie in the machine, whatever reason was given."""
    held: dict[tuple[str, int], Open] = {}
    for entry in entries:
        match entry.fact:
            case BoltHeld() as fact:
                held[fact.group, fact.bolt] = Open(
                    f"{fact.group} {fact.bolt} {WHAT[fact.what].upper()}, and not put right", fact.step or ""
                )
            case BoltFreed() | HoldTakenBack() as fact:
                held.pop((fact.group, fact.bolt), None)
            case Dropped() as fact:
                held["", fact.number] = Open(f"MAY LIE IN THE MACHINE: {dropped_words(fact)}", fact.step or "")
            case DroppedFound() as fact:
                held.pop(("", fact.number), None)
            case Deviated(what=DeviationWhat.BOLT_HELD | DeviationWhat.DROPPED) as fact:
                keys = [(fact.group, bolt) for bolt in fact.bolts] or [("", number) for _, number in fact.things]
                held |= {key: replace(held[key], reason=fact.reason) for key in keys if key in held}
    yield from held.values()


def held_bolts(entries: Sequence[Entry]) -> list[tuple[str, int, str]]:
    """Return the bolts that are held open: group, number, and what happened to each."""
    held: dict[tuple[str, int], str] = {}
    for entry in entries:
        match entry.fact:
            case BoltHeld() as fact:
                held[fact.group, fact.bolt] = WHAT[fact.what]
            case BoltFreed() | HoldTakenBack() as fact:
                held.pop((fact.group, fact.bolt), None)
    return [(*bolt, what) for bolt, what in held.items()]


def replaced_bolts(entries: Sequence[Entry]) -> list[tuple[str, int]]:
    """Return the bolts in whose place a new or the right one came, each as often as that was."""
    freed = (fact for entry in entries if isinstance(fact := entry.fact, BoltFreed))
    return [(fact.group, fact.bolt) for fact in freed if fact.how is FreedHow.REPLACED]
