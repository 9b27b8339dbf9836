"""What stands of a job: its entries without what was taken back. The entries themselves are all kept and shown."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from assistant.facts import Fact, dump
from assistant.facts.asking import Deviated, Skipped, SkippedWhat
from assistant.facts.going import HazardAcknowledged, ItemFound, ItemMissing, Prepared
from assistant.facts.inputs import Understood
from assistant.facts.steps import StepAnswer, StepDone
from assistant.facts.taking_back import DeviationWithdrawn, HazardReopened, Reopened, TakenBack, ThingAsBefore
from assistant.journal.port import Entry
from assistant.report.record.part import record_kinds


def what_stands(entries: Sequence[Entry]) -> list[Entry]:
    """Return ``entries`` in order, without the confirmations that do not count any more; some count in part."""
    kept: list[Entry] = []
    for entry in entries:
        back = entry.fact
        match back:
            case Reopened(place=place):
                kept = [one for one in kept if not _is_of(one.fact, place)]
            case HazardReopened(place=place, number=number):
                kept = [one for one in kept if not _is_hazard(one.fact, place, number)]
            case DeviationWithdrawn():
                _drop_last(kept, back)
            case ThingAsBefore():
                _drop_last(kept, back)
            case _:
                kept = _by_kinds(kept, back)
        kept.append(entry)
    return kept


def _is_of(fact: Fact, place: str) -> bool:
    """Return whether a fact says that ``place`` is done, answered or left out, or a hazard of it acknowledged."""
    match fact:
        case StepDone(step=at) | StepAnswer(step=at):
            return at == place
        case Skipped(what=what, place=at):
            return what is not SkippedWhat.BOLTS and at == place
        case Prepared(place=at) | HazardAcknowledged(place=at):
            return at == place
    return False


def _is_hazard(fact: Fact, place: str, number: int) -> bool:
    return isinstance(fact, HazardAcknowledged) and (fact.place, fact.number) == (place, number)


def _drop_last(kept: list[Entry], back: DeviationWithdrawn | ThingAsBefore) -> None:
    """Drop the newest of the entries that ``back`` takes back."""
    for at in range(len(kept) - 1, -1, -1):
        fact = kept[at].fact
        match back:
            case DeviationWithdrawn():
                found = isinstance(fact, Deviated) and (fact.step, fact.what) == (back.step, back.what)
            case ThingAsBefore():
                thing = (back.place, back.number)
                found = isinstance(fact, ItemMissing | ItemFound) and (fact.place, fact.number) == thing
        if found:
            del kept[at]
            return


def _by_kinds(kept: list[Entry], back: Fact) -> list[Entry]:
    """Let each kind of step say what stands of its own facts behind ``back``."""
    for kind in record_kinds():
        if isinstance(back, kind.takes_back):
            stands = [(one, kind.stands(one.fact, back)) for one in kept]
            kept = [one if fact is one.fact else _with(one, fact) for one, fact in stands if fact is not None]
    return kept


def _with(entry: Entry, fact: Fact) -> Entry:
    """Return ``entry`` as if it had told ``fact``."""
    _, version, data = dump(fact)
    return replace(entry, version=version, data=data)


@dataclass(frozen=True, slots=True)
class Withdrawal:
    """One confirmation that was taken back: the entry that does it, and the entry of what had been heard."""

    entry: Entry
    fact: TakenBack
    heard: Entry | None
    confirmed: tuple[Entry, ...]
    """What had been confirmed with it."""


def withdrawals(entries: Sequence[Entry]) -> list[Withdrawal]:
    """Return every confirmation that was taken back, in order."""
    found: list[Withdrawal] = []
    for at, entry in enumerate(entries):
        if not isinstance(fact := entry.fact, TakenBack):
            continue
        heard = next(
            (
                one
                for one in reversed(entries[:at])
                if isinstance(one.fact, Understood) and one.fact.ended_ms == fact.heard_ms
            ),
            None,
        )
        with_it = tuple(one for one in entries[:at] if heard is not None and one.cause == heard.seq)
        found.append(Withdrawal(entry, fact, heard, with_it))
    return found
