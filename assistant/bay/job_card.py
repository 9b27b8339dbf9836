"""What a job is opened with: machine, customer, odometer; and the readings of a machine's meter over all jobs."""

from __future__ import annotations

import time
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from typing import Any

from assistant.bay.exits import Exit
from assistant.bay.job import Refusal, guarded, journal_path
from assistant.bay.record import add_entry, clean
from assistant.events import Record
from assistant.journal.sqlite import SqliteJournal
from assistant.report.due import Meter, Seen, parse_meter


@dataclass(frozen=True, slots=True)
class JobCard:
    """The options of a new job, as they were typed; ``note`` says why a reading is lower than the one before."""

    asset: str = ""
    customer: str = ""
    odometer: str = ""
    hours: str = ""
    note: str = ""

    def facts(self) -> dict[str, Any]:
        """Return what goes into the first entry of the job.

        Raises:
            Refusal: a reading cannot be read, or is lower than before and nobody said why.
        """
        given: dict[str, Any] = {"asset": self.asset}
        if self.customer:
            given["customer"] = self.customer
        if self.odometer and self.hours:
            raise Refusal("Give --odometer or --hours, not both: a job has one meter.", Exit.USAGE)
        text = self.odometer or (f"{self.hours.strip().rstrip('hH')} h" if self.hours else "")
        if text:
            given |= checked_meter(text, self.asset, time.time(), self.note)
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
    facts: dict[str, Any] = {"odometer": {"value": str(meter.value), "unit": meter.unit}}
    last = _last_before(asset, meter, now, but)
    if last is not None and last.meter.size > meter.size:
        if not note.strip():
            sentence = (
                f"{meter} is lower than {last.meter} on {last.on.isoformat()}. Is it a slip, another unit, or a new "
                "instrument? Correct it, or say why with --odometer-note."
            )
            raise Refusal(sentence, Exit.USAGE)
        facts["restart"] = True
    if note.strip():
        facts["odometer_note"] = note.strip()
    return facts


def _last_before(asset: str, meter: Meter, now: float, but: str) -> Seen | None:
    if not same(asset) or not journal_path().exists():
        return None
    journal = SqliteJournal(journal_path(), read_only=True)
    try:
        seen = readings(journal, but=but).get(same(asset), [])
    finally:
        journal.close()
    kept = [one for one in seen if one.meter.is_hours == meter.is_hours and one.on <= day_of(now)]
    return kept[-1] if kept else None


def same(asset: str) -> str:
    """Return what tells machines apart: the words of ``asset`` without regard to capitals and spaces."""
    return " ".join(asset.casefold().split())


def day_of(seconds: float) -> date:
    """Return the local day of a time [s since the epoch]."""
    return datetime.fromtimestamp(seconds).astimezone().date()


def readings(journal: SqliteJournal, *, rehearsals: bool = False, but: str = "") -> dict[str, list[Seen]]:
    """Return the readings of each machine's meter over all jobs, in the order in which they were written down."""
    assets: dict[str, str] = {}
    found: list[tuple[int, str, Seen]] = []
    for job, at_ms, data in journal.found(("opened", "odometer")):
        if "procedure_id" in data:
            if data.get("rehearsal") and not rehearsals:
                continue
            assets[job] = same(str(data.get("asset", "")))
        if job in assets and job != but and (meter := meter_of(data)):
            found.append((at_ms, assets[job], Seen(day_of(at_ms / 1000), meter, data.get("restart") is True)))
    seen: dict[str, list[Seen]] = {}
    for _, asset, one in sorted(found, key=lambda row: row[0]):
        if asset:
            seen.setdefault(asset, []).append(one)
    return seen


def meter_of(data: dict[str, Any]) -> Meter | None:
    """Return the reading that an entry holds."""
    value = data.get("odometer")
    if not isinstance(value, dict) or not {"value", "unit"} <= set(value):
        return None
    return Meter(Decimal(str(value["value"])), str(value["unit"]))


def add_odometer(job: str, text: str, note: str) -> Exit:
    """Append a reading to ``job``."""

    def work() -> Exit:
        journal = SqliteJournal(journal_path(), read_only=True)
        try:
            name = journal.resolve(job)
            asset = str(journal.entries(name)[0].data.get("asset", ""))
        finally:
            journal.close()
        facts = checked_meter(text, asset, time.time(), clean(note))
        if "odometer_note" in facts:
            facts["note"] = facts.pop("odometer_note")
        return add_entry(name, Record("odometer", facts), "The reading is written down.")

    return guarded(work)
