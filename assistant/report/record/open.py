"""What a job leaves open: what was not done, and what went wrong and was not put right, whatever reason was given."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from assistant.facts.asking import Deviated, DeviationWhat, Skipped, SkippedWhat
from assistant.facts.going import Closed
from assistant.facts.kinds.count import Counted
from assistant.facts.kinds.tighten import BoltAgain, BoltReplaced, BoltsLoosened, BoltsTightened, OutOfLimits
from assistant.facts.people import ProblemNoted
from assistant.facts.steps import StepAnswer
from assistant.journal.port import Entry
from assistant.report.record.bolts import BoltOf, bolts_of
from assistant.report.record.model import Fasteners, Open, StepLine, Tightening, TimerLine
from assistant.report.record.printing import Names, describe
from assistant.report.record.values import amount_text, numbers

CLOSED_OPEN = "closed with open items"
"""Stands for the reason for which a job was closed with all of them."""


def open_things(
    names: Names,
    entries: Sequence[Entry],
    *,
    preparation: Sequence[StepLine],
    steps: Sequence[StepLine],
    bolts: Sequence[Tightening],
    groups: Sequence[Fasteners],
    stopwatches: Sequence[TimerLine],
) -> Iterator[Open]:
    """Yield every open thing of a job, what went wrong first."""
    if names.procedure is None:
        yield Open("The procedure in the journal cannot be read by this version: what was not done is not known")
    called = {row.id: f"step {row.number}" for row in steps}
    yield from _problems(entries, called)
    yield from (Open(f"{one.group}: {one.result}") for one in groups if one.result != "agrees")
    yield from _off_values(entries)
    yield from _answers(names, entries, steps)
    yield from _not_done(preparation, steps)
    for one in bolts:
        if one.entry is None:
            yield Open(f"{one.group} {numbers(one.bolts)}, stage {one.stage}: {one.result}", one.step)
    yield from (Open(f"{one.name}: {one.result}") for one in stopwatches if one.result == "still runs")
    closed = next((fact for entry in reversed(entries) if isinstance(fact := entry.fact, Closed)), None)
    if closed is not None and closed.reason:
        yield Open(CLOSED_OPEN, "", closed.reason)


def _problems(entries: Sequence[Entry], called: Mapping[str, str]) -> Iterator[Open]:
    for entry in entries:
        if isinstance(fact := entry.fact, ProblemNoted):
            place = f" in {called.get(fact.step, fact.step)}" if fact.step else ""
            yield Open(f"PROBLEM{place}: {fact.text}", fact.step or "")


def _answers(names: Names, entries: Sequence[Entry], steps: Sequence[StepLine]) -> Iterator[Open]:
    """Yield the steps whose last answer is not as it should be, with the reason for which it was accepted.

    Counts of fasteners are told by group.
    """
    last = {fact.step: fact for entry in entries if isinstance(fact := entry.fact, StepAnswer)}
    reasons = {fact.step: fact.reason for entry in entries if isinstance(fact := entry.fact, Deviated)}
    for row in steps:
        answer = last.get(row.id)
        if answer is not None and not answer.is_right and not isinstance(answer, Counted):
            what = describe(answer, names)
            yield Open(f"step {row.number}, {row.text.rstrip('.?')}: {what}", row.id, reasons.get(row.id, ""))


def _off_values(entries: Sequence[Entry]) -> Iterator[Open]:
    """Yield the bolts whose last reading is out of limits, accepted or not."""
    off: dict[BoltOf, Open] = {}
    reasons: dict[BoltOf, str] = {}
    for entry in entries:
        match entry.fact:
            case Deviated(what=DeviationWhat.BOLT_READING) as fact:
                keys = [(fact.step or "", fact.turn or 0, fact.group, bolt) for bolt in fact.bolts]
                reasons.update(dict.fromkeys(keys, fact.reason))
            case BoltReplaced() | BoltsLoosened() as fact:
                gone = {(fact.group, bolt) for bolt in fact.bolts}
                off = {key: one for key, one in off.items() if key[2:] not in gone}
            case BoltsTightened() | OutOfLimits() | BoltAgain() | Skipped(what=SkippedWhat.BOLTS) as fact:
                for key in bolts_of(fact):
                    off.pop(key, None)
                    if isinstance(fact, BoltsTightened | OutOfLimits) and fact.verdict in ("above", "below"):
                        what = f"{key[2]} {key[3]}, stage {fact.stage}: {amount_text(fact.reading)}"
                        off[key] = Open(f"{what} is {fact.verdict.upper()} LIMITS", key[0], reasons.get(key, ""))
    yield from off.values()


def _not_done(preparation: Sequence[StepLine], steps: Sequence[StepLine]) -> Iterator[Open]:
    for row in preparation:
        if row.status != "done":
            what = f"{row.chapter}: {row.text.rstrip('.')}: {row.status.upper()}"
            yield Open(what, row.id, "; ".join(row.results))
    for row in steps:
        if row.status in ("not done", "left out"):
            why = "; ".join(row.results) if row.status == "left out" else ""
            yield Open(f"step {row.number}, {row.text.rstrip('.')}: {row.status.upper()}", row.id, why)
        for hazard in row.hazards:
            if "NOT ACKNOWLEDGED" in hazard and row.status != "not done":
                yield Open(f"step {row.number}: {hazard}", row.id)
