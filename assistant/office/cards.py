"""What the office keeps in mind of each job: its line, and the entries that lists over many jobs are made of.

A job that went on is read again, and no other: so a page never waits for the journals of a whole workshop. The texts of
procedures and tool files, of which many jobs keep the same one, are fetched and kept once.
"""

from __future__ import annotations

import json
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from itertools import groupby
from typing import Any

from assistant.central.link import CentralLink
from assistant.facts import Fact
from assistant.facts.bay import MeterRead
from assistant.facts.going import Closed
from assistant.facts.inputs import Opened, Resumed
from assistant.journal.personal import GONE, SEALED
from assistant.journal.port import Entry, JobInfo, JobState
from assistant.journal.summary import STATES

KEPT_FACTS: tuple[type[Fact], ...] = (Opened, Resumed, Closed, MeterRead)
_SHOWN_KEYS = ("asset", "customer", "operator")
"""Personal fields of these entries that are shown in lists; the others are left empty here."""
# The workshop as a value: row-level security alone would let the store look at the partitions of all workshops.
JOB_LINES = (
    "SELECT name, title, procedure_id, opened_ms, last_ms, turn, seq, rehearsal, bay, number, month FROM shop.job"
    " WHERE workshop = %(mine)s AND (%(names)s::text[] IS NULL OR name = ANY(%(names)s::text[]))"
)
_ENTRIES = (
    "SELECT job, seq, at_ms, kind, version, cause, CASE WHEN kind IN ('opened', 'resumed')"
    " AND strpos(data, '\\u0000') = 0 THEN ((data::jsonb - 'procedure_yaml') #- '{tools,yaml}')::text ELSE data END"
    " FROM shop.entry WHERE workshop = %(mine)s AND month = ANY(%(months)s::date[]) AND kind = ANY(%(kinds)s::text[])"
    " AND (%(names)s::text[] IS NULL OR job = ANY(%(names)s::text[])) ORDER BY job, seq"
)
_SAID = (
    "SELECT job, seq, key, value FROM shop.personal WHERE workshop = %(mine)s AND month = ANY(%(months)s::date[])"
    " AND key = ANY(%(keys)s::text[]) AND (%(names)s::text[] IS NULL OR job = ANY(%(names)s::text[]))"
)
_CLICKS = (
    "SELECT one.job, one.sent_by, used.tool, one.at_ms / 86400000, sum(used.clicks), count(*), max(one.at_ms)"
    " FROM shop.entry AS one,"
    " json_to_record(one.data::json) AS f(tool text, adapter text, multiplier text, clicks bigint),"
    " LATERAL (VALUES (f.tool, f.clicks), (f.adapter, 0), (f.multiplier, 0)) AS used(tool, clicks)"
    " WHERE one.workshop = %(mine)s AND one.month = ANY(%(months)s::date[]) AND one.kind = 'tightened'"
    " AND (%(names)s::text[] IS NULL OR one.job = ANY(%(names)s::text[])) AND used.tool IS NOT NULL"
    " GROUP BY 1, 2, 3, 4 ORDER BY 1"
)
_TEXT = (
    "SELECT data::json ->> 'procedure_yaml', data::json -> 'tools' ->> 'yaml' FROM shop.entry"
    " WHERE workshop = %s AND month = %s AND job = %s AND seq = %s"
)
_MOST_NAMED = 400
"""Of more jobs than this, all rows are read at once."""


@dataclass(frozen=True, slots=True)
class Clicks:
    """What one tool did in a job on one day (since 1970, UTC) in a bay: clicks, in how many passes, when last [ms]."""

    bay: str
    tool: str
    day: int
    clicks: int
    passes: int
    last_ms: int


@dataclass(frozen=True, slots=True)
class OfficeCard:
    """One job: its line, its number in the store, its month, and what is kept of it."""

    info: JobInfo
    number: int
    month: date
    entries: tuple[Entry, ...] = ()
    clicks: tuple[Clicks, ...] = ()


@dataclass(frozen=True, slots=True)
class OfficeJobs:
    """All jobs of the workshop as they were at one moment; ``version`` grows with what changed."""

    jobs: tuple[JobInfo, ...] = ()
    cards: Mapping[str, OfficeCard] = field(default_factory=dict)
    version: int = 0

    def find(self, classes: Collection[type[Fact]]) -> Iterator[tuple[str, Entry]]:
        """Yield every entry that is kept and is a fact of one of ``classes``, job by job, the oldest job first."""
        kinds = {one.KIND for one in classes}
        for info in reversed(self.jobs):
            for entry in self.cards[info.id].entries:
                if entry.kind in kinds:
                    yield info.id, entry

    def scan(self) -> Iterator[JobInfo]:
        """Yield a line about each job, newest first."""
        return iter(self.jobs)


class OfficeCards:
    """Brings the cards up to date by one link at a time; whoever shows takes :attr:`shown`, which never changes."""

    def __init__(self) -> None:
        """Know nothing yet."""
        self.shown = OfficeJobs()
        self._texts: dict[str, str] = {}

    def bring_up(self, link: CentralLink, mine: str, names: Sequence[str] | None = None) -> bool:
        """Read what changed in the workshop ``mine`` (in the jobs ``names`` of it), and return whether anything did.

        Raises:
            CentralFault: the store cannot be reached, or refuses.
        """
        rows = link.ask(JOB_LINES, {"mine": mine, "names": None if names is None else list(names)})
        before = self.shown.cards
        stale = {row[0]: row for row in rows if row[0] not in before or before[row[0]].info.entries != row[6]}
        if not stale:
            return False
        found = self._read(link, mine, stale)
        cards = {**before, **found}
        order = sorted(cards.values(), key=lambda one: (one.info.opened_at_ms, one.number), reverse=True)
        self.shown = OfficeJobs(tuple(one.info for one in order), cards, self.shown.version + 1)
        return True

    def _read(self, link: CentralLink, mine: str, rows: Mapping[str, Sequence[Any]]) -> dict[str, OfficeCard]:
        asked = {
            "mine": mine,
            "months": sorted({row[10] for row in rows.values()}),
            "names": list(rows) if len(rows) <= _MOST_NAMED else None,
            "kinds": [one.KIND for one in KEPT_FACTS],
            "keys": list(_SHOWN_KEYS),
        }
        entries, said, clicks = (link.ask(statement, asked) for statement in (_ENTRIES, _SAID, _CLICKS))
        words = {(job, seq, key): json.loads(value) for job, seq, key, value in said}
        kept: dict[str, list[Entry]] = {}
        for job, *rest in entries:
            if job in rows:
                kept.setdefault(job, []).append(self._entry(link, mine, rows[job][10], job, rest, words))
        used = {job: tuple(_clicks(one) for one in found) for job, found in groupby(clicks, key=lambda one: one[0])}
        return {
            job: OfficeCard(_info(row), row[9], row[10], tuple(kept.get(job, ())), used.get(job, ()))
            for job, row in rows.items()
        }

    def _entry(
        self, link: CentralLink, mine: str, month: date, job: str, row: Sequence[Any],
        words: Mapping[tuple[str, int, str], Any],
    ) -> Entry:  # fmt: skip
        seq, at_ms, kind, version, cause, text = row
        data = json.loads(text)
        for key in [key for key, value in data.items() if isinstance(value, dict) and SEALED in value]:
            data[key] = words.get((job, seq, key), GONE) if key in _SHOWN_KEYS else ""
        tools = data.get("tools")
        wanted = [data.get("procedure_sha256", "")] if kind == Opened.KIND and "procedure_yaml" not in data else []
        wanted += [tools["sha256"]] if tools and "yaml" not in tools else []
        if any(sha not in self._texts for sha in wanted):
            procedure, yaml = link.ask(_TEXT, (mine, month, job, seq))[0]
            self._texts |= {data.get("procedure_sha256", ""): procedure or ""} if kind == Opened.KIND else {}
            self._texts |= {tools["sha256"]: yaml or ""} if tools else {}
        if kind == Opened.KIND and "procedure_yaml" not in data:
            data["procedure_yaml"] = self._texts[data.get("procedure_sha256", "")]
        if tools and "yaml" not in tools:
            tools["yaml"] = self._texts[tools["sha256"]]
        return Entry(seq, at_ms, kind, data, "", "", version, cause)


def _info(row: Sequence[Any]) -> JobInfo:
    name, title, procedure_id, opened_ms, last_ms, turn, seq, rehearsal, bay, _number, _month = row
    state = STATES.get(turn, JobState.OPEN)
    return JobInfo(name, title, procedure_id, opened_ms, last_ms, state, seq, rehearsal=rehearsal, bay=bay)


def _clicks(row: Sequence[Any]) -> Clicks:
    _job, bay, tool, day, clicks, passes, last_ms = row
    return Clicks(bay, tool, day, int(clicks or 0), passes, last_ms)
