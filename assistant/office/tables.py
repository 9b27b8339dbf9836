"""Tables of all bays for other programs: jobs, tightenings and findings, as they stand, a row at a time.

What was taken back is left out, and what was removed by forgetting is empty.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from decimal import Decimal
from enum import StrEnum
from itertools import groupby
from typing import Any

from assistant.central.link import CentralLink
from assistant.facts import Fact, Quantity
from assistant.facts.bay import Forgotten, MeterRead
from assistant.facts.correcting import FindingAsBefore, FindingCorrected
from assistant.facts.extra import ExtraDeclined, ExtraDone, ExtraGranted, FindingKept
from assistant.facts.going import Closed
from assistant.facts.inputs import Opened, Resumed
from assistant.facts.kinds.tighten import BoltReplaced, BoltsAsBefore, BoltsLoosened, BoltsTakenBack, BoltsTightened
from assistant.facts.people import HandedOver
from assistant.facts.taking_back import Reopened
from assistant.journal.personal import GONE, SEALED
from assistant.journal.port import Entry
from assistant.journal.summary import STATES
from assistant.report.meters import done_at
from assistant.report.record.standing import what_stands

TableCell = str | int | Decimal | bool | datetime | None


class CellKind(StrEnum):
    """What stands in a column: text, a whole number, a decimal, yes or no, or a time (UTC)."""

    TEXT = "text"
    WHOLE = "whole"
    DECIMAL = "decimal"
    YES = "yes"
    TIME = "time"


@dataclass(frozen=True, slots=True)
class TableForm:
    """The columns of a table in order, the facts and personal fields that it is made of, and what makes its rows."""

    columns: Mapping[str, CellKind]
    facts: tuple[type[Fact], ...]
    said: tuple[str, ...]
    rows: Callable[[_Job], Iterator[Sequence[TableCell]]]


_JOBS = (
    "SELECT name, bay, title, procedure_id, opened_ms, last_ms, turn, seq, rehearsal FROM shop.job WHERE workshop = %s"
)
_ENTRIES = (
    "SELECT job, seq, at_ms, kind, version, cause, CASE WHEN kind IN ('opened', 'resumed')"
    " AND strpos(data, '\\u0000') = 0 THEN (data::jsonb - 'procedure_yaml' - 'tools')::text ELSE data END"
    " FROM shop.entry WHERE workshop = %s AND kind = ANY(%s::text[]) ORDER BY job, seq"
)
_SAID = "SELECT job, seq, key, value FROM shop.personal WHERE workshop = %s AND key = ANY(%s::text[])"


@dataclass(frozen=True, slots=True)
class _Job:
    """One job: its row in the store, and the entries that a table is made of."""

    row: Sequence[Any]
    entries: Sequence[Entry]

    @property
    def opened(self) -> Opened | None:
        first = self.entries[0].fact
        return first if isinstance(first, Opened) else None

    @property
    def head(self) -> tuple[TableCell, ...]:
        """The first columns of each table: job, bay, machine, rehearsal."""
        name, bay, *_, rehearsal = self.row
        return name, bay, _known(self.opened.asset) if self.opened else None, bool(rehearsal)


_HEAD = {"job": CellKind.TEXT, "bay": CellKind.TEXT, "machine": CellKind.TEXT, "rehearsal": CellKind.YES}


def table_rows(link: CentralLink, what: str) -> Iterator[Sequence[TableCell]]:
    """Yield the rows of the table ``what`` (one of :data:`TABLE_FORMS`) of the workshop of the login, job by job.

    Raises:
        CentralFault: the store cannot be reached, or refuses.
    """
    form = TABLE_FORMS[what]
    row = link.one("SELECT shop.my_workshop()")
    mine = row[0] if row else None
    jobs = {one[0]: one for one in link.ask(_JOBS, (mine,))}
    said = {(job, seq, key): value for job, seq, key, value in link.ask(_SAID, (mine, list(form.said)))}
    kinds = [fact.KIND for fact in form.facts]
    for job, found in groupby(link.stream(_ENTRIES, (mine, kinds)), key=lambda one: str(one[0])):
        entries = [_entry(one, said) for one in found]
        if job in jobs:
            for cells in form.rows(_Job(jobs[job], entries)):
                yield [None if cell == "" else cell for cell in cells]


def _entry(row: Sequence[Any], said: Mapping[tuple[str, int, str], str]) -> Entry:
    job, seq, at_ms, kind, version, cause, text = row
    data = json.loads(text)
    if kind == Opened.KIND:
        data.setdefault("procedure_yaml", "")
    for key in [key for key, value in data.items() if isinstance(value, dict) and SEALED in value]:
        value = said.get((job, seq, key))
        data[key] = GONE if value is None else json.loads(value)
    return Entry(seq, at_ms, kind, data, "", "", version, cause)


def _known(text: str) -> str | None:
    return None if text in ("", GONE) else text


def _time(at_ms: int) -> datetime:
    return datetime.fromtimestamp(at_ms / 1000, UTC)


def _jobs(job: _Job) -> Iterator[Sequence[TableCell]]:
    _name, _bay, title, procedure, opened_ms, last_ms, turn, seq, _rehearsal = job.row
    opened, meter = job.opened, done_at(job.entries)
    yield (
        *job.head, title, procedure, opened.procedure_revision if opened else None,
        _known(opened.customer) if opened else None, _known(opened.operator) if opened else None,
        STATES[turn].value if turn in STATES else "open", _time(int(opened_ms)), _time(int(last_ms)), int(seq),
        meter.value if meter else None, meter.unit if meter else None,
        any(isinstance(one.fact, Forgotten) for one in job.entries),
    )  # fmt: skip


def _of(quantity: Quantity | None) -> tuple[Decimal | None, str | None]:
    return (quantity.value, quantity.unit) if quantity else (None, None)


def _tightenings(job: _Job) -> Iterator[Sequence[TableCell]]:
    undone = [
        (entry.seq, one.step, one.turn, one.run, one.bolt)
        for entry in what_stands(job.entries) if isinstance(entry.fact, BoltsLoosened | BoltReplaced)
        for one in entry.fact.undone
    ]  # fmt: skip
    operator: str | None = None
    for entry in what_stands(job.entries):
        fact = entry.fact
        match fact:
            case Opened() | Resumed():
                operator = _known(fact.operator.partition(",")[0].strip()) or operator
            case HandedOver():
                operator = _known(fact.taken_by)
            case BoltsTightened():
                for bolt in fact.bolts:
                    place = fact.step, fact.turn, fact.run, bolt
                    yield (
                        *job.head, _time(fact.at_ms or entry.at_ms), fact.step, fact.group, bolt, fact.stage, fact.turn,
                        fact.way.value, *_of(fact.target), fact.tool, fact.adapter, fact.multiplier, *_of(fact.setting),
                        *_of(fact.reading), fact.verdict.value if fact.verdict else None, operator,
                        any(seq > entry.seq and rest == list(place) for seq, *rest in undone),
                    )  # fmt: skip


def _findings(job: _Job) -> Iterator[Sequence[TableCell]]:
    outcomes: dict[tuple[str, int], str] = {}
    found: dict[str, tuple[Entry, FindingKept | FindingCorrected | FindingAsBefore]] = {}
    """Of each finding its first entry, and what counts of it."""
    for entry in job.entries:
        match entry.fact:
            case ExtraGranted(work=work, number=number):
                outcomes[work, number] = "granted"
            case ExtraDeclined(work=work, number=number):
                outcomes[work, number] = "declined"
            case ExtraDone(work=work, number=number):
                outcomes[work, number] = "done"
    for entry in what_stands(job.entries):
        if isinstance(fact := entry.fact, FindingKept | FindingCorrected | FindingAsBefore):
            found[fact.work] = (found[fact.work][0] if fact.work in found else entry), fact
    for first, fact in found.values():
        outcome = outcomes.get((fact.work, fact.number), "asked")
        corrected = fact.corrected if isinstance(fact, FindingAsBefore) else fact is not first.fact
        yield (
            *job.head, _time(first.at_ms), fact.number, fact.step, fact.severity.value, _known(fact.text),
            fact.complete, outcome, corrected,
        )  # fmt: skip


_T, _W, _D, _Y, _M = CellKind.TEXT, CellKind.WHOLE, CellKind.DECIMAL, CellKind.YES, CellKind.TIME
TABLE_FORMS: Mapping[str, TableForm] = {
    "jobs": TableForm(
        {
            **_HEAD, "title": _T, "procedure": _T, "revision": _T, "customer": _T, "operator": _T, "state": _T,
            "opened": _M, "last_entry": _M, "entries": _W, "meter": _D, "meter_unit": _T, "forgotten": _Y,
        },
        (Opened, Closed, MeterRead, Forgotten),
        ("asset", "customer", "operator"),
        _jobs,
    ),
    "tightenings": TableForm(
        {
            **_HEAD, "at": _M, "step": _T, "group": _T, "bolt": _W, "stage": _W, "turn": _W, "way": _T, "value": _D,
            "unit": _T, "tool": _T, "adapter": _T, "multiplier": _T, "setting": _D, "setting_unit": _T,
            "reading": _D, "reading_unit": _T, "verdict": _T, "operator": _T, "undone": _Y,
        },
        (
            Opened, Resumed, HandedOver, BoltsTightened, BoltsTakenBack, BoltsLoosened, BoltReplaced, BoltsAsBefore,
            Reopened,
        ),
        ("asset", "operator", "taken_by"),
        _tightenings,
    ),
    "findings": TableForm(
        {
            **_HEAD, "at": _M, "number": _W, "step": _T, "severity": _T, "text": _T, "complete": _Y, "outcome": _T,
            "corrected": _Y,
        },
        (Opened, FindingKept, FindingCorrected, FindingAsBefore, ExtraGranted, ExtraDeclined, ExtraDone, Reopened),
        ("asset", "text"),
        _findings,
    ),
}  # fmt: skip
"""The tables by name; docs/office.md says what stands in their columns."""
