"""The readings of a machine's meter: over all jobs, and of one."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from assistant.facts import Fact
from assistant.facts.bay import MeterRead
from assistant.facts.going import Closed
from assistant.facts.inputs import Opened
from assistant.journal.port import Entry, ReadsMany
from assistant.report.due import Meter, Seen


def same(asset: str) -> str:
    """Return what tells machines apart: the words of ``asset`` without regard to capitals and spaces."""
    return " ".join(asset.casefold().split())


def local_day(seconds: float) -> date:
    """Return the local day of a time [s since the epoch]."""
    return datetime.fromtimestamp(seconds).astimezone().date()


def clock_of(at_ms: int) -> int:
    """Return the offset from UTC [min] of this computer's clock at ``at_ms`` (milliseconds since the epoch)."""
    offset = datetime.fromtimestamp(at_ms / 1000).astimezone().utcoffset() or timedelta(0)
    return round(offset.total_seconds() / 60)


@dataclass(slots=True)
class _Card:
    """What is known of a job's meter while its entries are gone through."""

    asset: str
    seen: list[tuple[int, Seen]]
    closed_ms: int = 0


def readings(journal: ReadsMany, *, rehearsals: bool = False, but: str = "") -> dict[str, list[Seen]]:
    """Return the readings of each machine's meter over all jobs, in the order of their times.

    A reading that was given later as the one of the work stands in the place of those that the job had before.
    """
    cards: dict[str, _Card] = {}
    for job, entry in journal.find((Opened, Closed, MeterRead)):
        fact, at_ms = entry.fact, entry.at_ms
        if isinstance(fact, Opened):
            if job == but or (fact.rehearsal and not rehearsals):
                continue
            cards[job] = _Card(same(fact.asset), [])
        if job not in cards:
            continue
        card = cards[job]
        if isinstance(fact, Closed):
            card.closed_ms = at_ms
        elif meter := meter_of(fact):
            if isinstance(fact, MeterRead) and fact.done and card.closed_ms:
                at_ms = card.closed_ms
                card.seen = [one for one in card.seen if one[0] > at_ms]
            restart = fact.restart if isinstance(fact, MeterRead) else isinstance(fact, Opened) and fact.meter_restart
            card.seen.append((at_ms, Seen(local_day(at_ms / 1000), meter, restart)))
    found = sorted(
        ((at_ms, card.asset, one) for card in cards.values() for at_ms, one in card.seen), key=lambda row: row[0]
    )
    seen: dict[str, list[Seen]] = {}
    for _, asset, one in found:
        if asset:
            seen.setdefault(asset, []).append(one)
    return seen


def meter_of(fact: Fact) -> Meter | None:
    """Return the reading that a fact holds."""
    if not isinstance(fact, Opened | MeterRead) or fact.meter is None:
        return None
    return Meter(fact.meter.value, fact.meter.unit)


def done_at(entries: Iterable[Entry]) -> Meter | None:
    """Return the reading at which a job was done, from its entries (opened, closed and readings are enough).

    It is the last one that was given before the job was closed, or one that was given later as that of the work. A
    later reading of the machine does not move it.
    """
    found: Meter | None = None
    closed = False
    for entry in entries:
        fact = entry.fact
        closed |= isinstance(fact, Closed)
        counts = not closed or (isinstance(fact, MeterRead) and fact.done)
        if counts and (meter := meter_of(fact)):
            found = meter
    return found
