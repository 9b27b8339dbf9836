"""What a job is opened with: machine, customer, meter; and the readings of a machine's meter over all jobs."""

from __future__ import annotations

import time
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from assistant.bay.adding import add_entry, clean
from assistant.bay.job import guarded
from assistant.bay.options import CardOptions
from assistant.facts import Fact, Quantity
from assistant.facts.bay import MeterRead
from assistant.facts.going import Closed
from assistant.facts.inputs import Opened
from assistant.journal.opening import journal_is_there, open_journal
from assistant.journal.port import Entry, Journal
from assistant.report.due import Meter, Seen, parse_meter
from assistant.settings import home
from assistant.terminal.exits import Exit, Refusal


def card_facts(card: CardOptions) -> dict[str, Any]:
    """Return what goes into the first entry of a job that is opened with ``card``.

    Raises:
        Refusal: a reading cannot be read, or is lower than before and nobody said why.
    """
    given: dict[str, Any] = {"asset": card.asset, "customer": card.customer}
    if card.meter:
        read = checked_meter(card.meter, card.asset, time.time(), card.meter_note)
        given |= {"meter": read.meter, "meter_restart": read.restart, "meter_note": read.note}
    return given


def checked_meter(text: str, asset: str, now: float, note: str, but: str = "", *, done: bool = False) -> MeterRead:
    """Return the reading ``text`` of the machine ``asset`` as a fact, at ``now`` [s since the epoch].

    ``but`` is a job whose own readings do not count.

    Raises:
        Refusal: it is no reading, or lower than before and there is no ``note`` that says why.
    """
    meter = parse_meter(text)
    if isinstance(meter, str):
        raise Refusal(meter, Exit.USAGE)
    restart = False
    last = _last_before(asset, meter, now, but)
    if last is not None and last.meter.size > meter.size:
        if not note.strip():
            sentence = (
                f"{meter} is lower than {last.meter} on {last.on.isoformat()}. Is it a slip, another unit, or a new "
                "instrument? Correct it, or say why with --meter-note."
            )
            raise Refusal(sentence, Exit.USAGE)
        restart = True
    return MeterRead(meter=Quantity(meter.value, meter.unit), restart=restart, done=done, note=note.strip())


def _last_before(asset: str, meter: Meter, now: float, but: str) -> Seen | None:
    if not same(asset) or not journal_is_there(home()):
        return None
    with open_journal(home(), read_only=True) as journal:
        seen = readings(journal, but=but).get(same(asset), [])
    kept = [one for one in seen if one.meter.is_hours == meter.is_hours and one.on <= local_day(now)]
    return kept[-1] if kept else None


def same(asset: str) -> str:
    """Return what tells machines apart: the words of ``asset`` without regard to capitals and spaces."""
    return " ".join(asset.casefold().split())


def local_day(seconds: float) -> date:
    """Return the local day of a time [s since the epoch]."""
    return datetime.fromtimestamp(seconds).astimezone().date()


@dataclass(slots=True)
class _Card:
    """What is known of a job's meter while its entries are gone through."""

    asset: str
    seen: list[tuple[int, Seen]]
    closed_ms: int = 0


def readings(journal: Journal, *, rehearsals: bool = False, but: str = "") -> dict[str, list[Seen]]:
    """Return the readings of each machine's meter over all jobs, in the order of their times.

    A reading that was given later as the one of the work stands in the place of those that the job had before.
    """
    cards: dict[str, _Card] = {}
    for job, entry in journal.find(("opened", "closed", "meter")):
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


def add_meter(job: str, text: str, note: str, *, done: bool) -> Exit:
    """Append a reading to ``job``; ``done`` says that a closed job was done at it."""

    def work() -> Exit:
        with open_journal(home(), read_only=True) as journal:
            name = journal.resolve(job)
            opened, entries = journal.first(name), journal.read(name).entries
        closed = next((entry.at_ms for entry in entries if isinstance(entry.fact, Closed)), None)
        was_then = done and closed is not None
        asset = opened.fact.asset if isinstance(opened.fact, Opened) else ""
        at = closed / 1000 if was_then and closed is not None else time.time()
        read = checked_meter(text, asset, at, clean(note), name if was_then else "", done=was_then)
        end = add_entry(name, read, "The reading is written down.")
        if closed is not None and not was_then and done_at(entries) is None:
            print("The job has no reading of when it was done; if this is the one, say it again with --done.")
        return end

    return guarded(work)
