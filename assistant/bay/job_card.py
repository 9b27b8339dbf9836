"""What a job is opened with: machine, customer, meter; and the readings of a machine's meter over all jobs."""

from __future__ import annotations

import time
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from typing import Any

from assistant.bay.adding import add_entry, clean
from assistant.bay.job import guarded
from assistant.bay.options import CardOptions
from assistant.events import Record
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
    given: dict[str, Any] = {"asset": card.asset}
    if card.customer:
        given["customer"] = card.customer
    if card.meter:
        given |= checked_meter(card.meter, card.asset, time.time(), card.meter_note)
    return given


def checked_meter(text: str, asset: str, now: float, note: str, but: str = "") -> dict[str, Any]:
    """Return the reading ``text`` of the machine ``asset`` as it is stored, at ``now`` [s since the epoch].

    ``but`` is a job whose own readings do not count.

    Raises:
        Refusal: it is no reading, or lower than before and there is no ``note`` that says why.
    """
    meter = parse_meter(text)
    if isinstance(meter, str):
        raise Refusal(meter, Exit.USAGE)
    facts: dict[str, Any] = {"meter": {"value": str(meter.value), "unit": meter.unit}}
    last = _last_before(asset, meter, now, but)
    if last is not None and last.meter.size > meter.size:
        if not note.strip():
            sentence = (
                f"{meter} is lower than {last.meter} on {last.on.isoformat()}. Is it a slip, another unit, or a new "
                "instrument? Correct it, or say why with --meter-note."
            )
            raise Refusal(sentence, Exit.USAGE)
        facts["restart"] = True
    if note.strip():
        facts["meter_note"] = note.strip()
    return facts


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
        data, at_ms = entry.data, entry.at_ms
        if entry.kind == "opened":
            if job == but or (data.get("rehearsal") and not rehearsals):
                continue
            cards[job] = _Card(same(str(data.get("asset", ""))), [])
        if job not in cards:
            continue
        card = cards[job]
        if entry.kind == "closed":
            card.closed_ms = at_ms
        elif meter := meter_of(data):
            if data.get("done") and card.closed_ms:
                at_ms = card.closed_ms
                card.seen = [one for one in card.seen if one[0] > at_ms]
            card.seen.append((at_ms, Seen(local_day(at_ms / 1000), meter, data.get("restart") is True)))
    found = sorted(
        ((at_ms, card.asset, one) for card in cards.values() for at_ms, one in card.seen), key=lambda row: row[0]
    )
    seen: dict[str, list[Seen]] = {}
    for _, asset, one in found:
        if asset:
            seen.setdefault(asset, []).append(one)
    return seen


def meter_of(data: Mapping[str, Any]) -> Meter | None:
    """Return the reading that an entry holds."""
    value = data.get("meter")
    if not isinstance(value, dict) or not {"value", "unit"} <= set(value):
        return None
    return Meter(Decimal(str(value["value"])), str(value["unit"]))


def done_at(entries: Iterable[Entry]) -> Meter | None:
    """Return the reading at which a job was done, from its entries (opened, closed and readings are enough).

    It is the last one that was given before the job was closed, or one that was given later as that of the work. A
    later reading of the machine does not move it.
    """
    found: Meter | None = None
    closed = False
    for entry in entries:
        if entry.kind == "closed":
            closed = True
            continue
        if meter := meter_of(entry.data) if not closed or entry.data.get("done") else None:
            found = meter
    return found


def add_meter(job: str, text: str, note: str, *, done: bool) -> Exit:
    """Append a reading to ``job``; ``done`` says that a closed job was done at it."""

    def work() -> Exit:
        with open_journal(home(), read_only=True) as journal:
            name = journal.resolve(job)
            opened, entries = journal.first(name), journal.read(name).entries
        closed = next((entry.at_ms for entry in entries if entry.kind == "closed"), None)
        was_then = done and closed is not None
        asset = str(opened.data.get("asset", ""))
        at = closed / 1000 if was_then and closed is not None else time.time()
        facts = checked_meter(text, asset, at, clean(note), but=name if was_then else "")
        if "meter_note" in facts:
            facts["note"] = facts.pop("meter_note")
        if was_then:
            facts["done"] = True
        end = add_entry(name, Record("meter", facts), "The reading is written down.")
        if closed is not None and not was_then and done_at(entries) is None:
            print("The job has no reading of when it was done; if this is the one, say it again with --done.")
        return end

    return guarded(work)
