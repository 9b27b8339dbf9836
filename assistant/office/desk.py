"""What the office's pages show, from what is kept in mind of all jobs, or from the central store."""

from __future__ import annotations

import json
import threading
import time
from collections import OrderedDict
from collections.abc import Callable, Collection, Iterator, Sequence
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from assistant.central.link import CentralLink
from assistant.central.place import CentralFault
from assistant.desk.pages import BayDesk
from assistant.desk.records import RecordPages
from assistant.desk.shop import WITHIN_DAYS, shop_list
from assistant.display.office import BayMember, Hits, LibraryRow, ToolRow
from assistant.facts import Fact
from assistant.facts.inputs import Approved, Opened
from assistant.fastening.calibration import calibration_day
from assistant.journal.names import bay_of
from assistant.journal.personal import GONE, SEALED
from assistant.journal.port import Entry, JobInfo, JobState, JournalFault
from assistant.kept.due_calendar import due_calendar
from assistant.kept.due_jobs import due_lines
from assistant.office.cards import KEPT_FACTS, OfficeJobs
from assistant.office.exporting import exported
from assistant.office.links import Links
from assistant.office.searching import search
from assistant.office.tools import tool_rows
from assistant.office.watching import Watch
from assistant.report.meters import local_day, same
from assistant.terminal.exits import Refusal
from assistant.workshop.library import LibraryItem
from assistant.workshop.library_store import library_items
from assistant.workshop.photo_store import photos_there
from assistant.workshop.wordings_store import newest_wordings

_MOST_KEPT = 64
_MOST_OF_MACHINE = 400
"""The newest jobs of one machine of which the whole history is read."""
_ENTRIES = (
    "SELECT job, seq, at_ms, kind, version, cause, data FROM shop.entry WHERE workshop = %(mine)s"
    " AND month = ANY(%(months)s::date[]) AND job = ANY(%(names)s::text[]) AND kind = ANY(%(kinds)s::text[])"
    " ORDER BY job, seq"
)
_SAID = (
    "SELECT job, seq, key, value FROM shop.personal WHERE workshop = %(mine)s AND month = ANY(%(months)s::date[])"
    " AND job = ANY(%(names)s::text[])"
)


class OfficeDesk:
    """Answers for all bays of a workshop. Reading only."""

    def __init__(self, watch: Watch, links: Links, procedures: Path, making: Sequence[str]) -> None:
        """Show what ``watch`` knows and ``links`` reach; ``making`` are the arguments of the process for a record."""
        self._watch, self._links = watch, links
        self._files = BayDesk(procedures)
        self.records = RecordPages("assistant.office.record_page", *making)
        self._made: OrderedDict[tuple[Any, ...], Any] = OrderedDict()
        self._made_of = 0
        self._guard = threading.Lock()

    @property
    def trouble(self) -> str:
        """Why what is shown may be old, in one sentence; "" while the link holds."""
        return self._watch.trouble

    def jobs(self) -> Sequence[JobInfo]:
        """Return all jobs of all bays, newest first."""
        return self._watch.shown.jobs

    def record(self, job: str, form: str = "html") -> bytes:
        """Return the record of ``job``, a whole document, or in the form "pdf".

        Raises:
            JournalFault: there is no such job, or nothing of it can be read.
            DeskBusy: it cannot be made now.
        """
        card = self._watch.shown.cards.get(job)
        if card is None:
            raise JournalFault(f'There is no job "{job}" in any bay.')
        try:  # a photo comes behind the entries, wordings beside them, and the record is made anew then
            photos, words = self._links.read(
                lambda link: (photos_there(link, [job]).get(job, set()), newest_wordings(link, bay_of(job)))
            )
        except CentralFault as fault:
            raise JournalFault(fault.sentence) from fault
        return self.records.page(card.info, form, (frozenset(photos), words))

    def listed(self, what: str, name: str = "") -> Any:
        """Return a list over all bays, made anew where a job went on or the day is another.

        Raises:
            JournalFault: there is no such machine, or the store cannot be read.
        """
        shown = self._watch.shown
        if not shown.jobs:
            return []
        key = (what, same(name), shown.version, local_day(time.time()))
        journal = shown if what != "machine" else OfMachine(shown, self._links, same(name))
        return self._kept(key, lambda: json.loads(shop_list(journal, what, name)))

    def _kept(self, key: tuple[Any, ...], make: Callable[[], Any]) -> Any:
        """Return what was made under ``key`` before, or make it."""
        version = self._watch.shown.version
        with self._guard:
            if version != self._made_of:  # also for what was forgotten: it is not kept in mind
                self._made.clear()
                self._made_of = version
            if key in self._made:
                return self._made[key]
        made = make()
        with self._guard:
            self._made[key] = made
            while len(self._made) > _MOST_KEPT:
                self._made.popitem(last=False)
        return made

    def is_current(self, job: str) -> bool:
        """Return whether ``job`` is open, or went on today."""
        card = self._watch.shown.cards.get(job)
        if card is None:
            return False
        is_open = card.info.state is not JobState.CLOSED
        return is_open or local_day(card.info.last_at_ms / 1000) == local_day(time.time())

    def calendar(self) -> bytes:
        """Return a calendar file of what is due again.

        Raises:
            JournalFault: nothing has a day yet.
        """
        now = time.time()
        lines = due_lines(self._watch.shown, local_day(now), within_days=WITHIN_DAYS, rehearsals=False)
        calendar = due_calendar(lines, datetime.fromtimestamp(round(now), UTC))
        if calendar is None:
            raise JournalFault("Nothing has a day yet, so there is no calendar.")
        return calendar

    def library(self) -> Sequence[LibraryRow]:
        """Return what is published in the workshop's library, the newest first.

        Raises:
            JournalFault: the store cannot be reached.
        """
        try:
            items = self._links.read(library_items)
        except CentralFault as fault:
            raise JournalFault(fault.sentence) from fault
        return [
            LibraryRow(
                one.kind.value, one.id, one.title, one.revision, _approval(one), one.by, one.at_ms,
                tuple(bay for bay in one.bays if bay), one.withdrawn.reason if one.withdrawn else "",
            )
            for one in items
        ]  # fmt: skip

    def members(self) -> Sequence[BayMember]:
        """Return who may log in to the central store.

        Raises:
            JournalFault: the store cannot be reached.
        """
        asked = "SELECT bay, role, to_char(added_at, 'YYYY-MM-DD') FROM shop.member ORDER BY role DESC, bay"
        try:
            rows = self._links.read(lambda link: link.ask(asked))
        except CentralFault as fault:
            raise JournalFault(fault.sentence) from fault
        of: dict[str, list[JobInfo]] = {}
        for info in self._watch.shown.jobs:
            of.setdefault(info.bay, []).append(info)
        return [
            BayMember(bay, role, since, len(jobs), max((one.last_at_ms for one in jobs), default=0))
            for bay, role, since in rows for jobs in (of.get(bay, []),)
        ]  # fmt: skip

    def tools(self) -> Sequence[ToolRow]:
        """Return the tools of all bays."""
        shown, today = self._watch.shown, calibration_day(round(time.time() * 1000))
        rows: Sequence[ToolRow] = self._kept(("tools", shown.version, today), lambda: tool_rows(shown, today))
        return rows

    def export(self, what: str, form: str) -> bytes:
        """Return the table ``what`` as a file, csv or parquet.

        Raises:
            JournalFault: the store cannot be reached, or what writes the file is not installed.
        """
        try:
            return self._links.read(lambda link: exported(link, what, form))
        except (CentralFault, Refusal) as fault:
            raise JournalFault(fault.sentence) from fault

    def search(self, words: str) -> Hits:
        """Return the newest places in which ``words`` are found.

        Raises:
            JournalFault: the store cannot be reached.
        """
        try:
            return search(self._links, words, self._watch.shown)
        except CentralFault as fault:
            raise JournalFault(fault.sentence) from fault

    def procedures(self) -> Any:
        """Return the YAML files of the office's own folder, by name."""
        return self._files.procedures()

    def preview(self, name: str) -> Any:
        """Return what the assistant says in the procedure of the file ``name``, place by place."""
        return self._files.preview(name)

    def close(self) -> None:
        """Give up what is being made."""
        self.records.close()
        self._files.close()


def _approval(item: LibraryItem) -> str:
    match item.approved:
        case Approved.YES.value:
            return f"by {item.approved_by} on {item.approved_on}"
        case Approved.CHANGED.value:
            return "changed since"
        case Approved.NO.value:
            return "no"
    return ""


class OfMachine:
    """All that is kept in mind, and of the jobs of one machine whatever is asked for."""

    def __init__(self, shown: OfficeJobs, links: Links, machine: str) -> None:
        self._shown, self._links = shown, links
        self._jobs = [
            job for job, entry in shown.find((Opened,))
            if isinstance(entry.fact, Opened) and machine and same(entry.fact.asset) == machine
        ][-_MOST_OF_MACHINE:]  # fmt: skip

    def scan(self) -> Iterator[JobInfo]:
        """Yield a line about each job, newest first."""
        return self._shown.scan()

    def find(self, classes: Collection[type[Fact]]) -> Iterator[tuple[str, Entry]]:
        """Yield the entries of ``classes``: of all jobs where they are kept in mind, else of those of the machine."""
        if set(classes) <= set(KEPT_FACTS):
            yield from self._shown.find(classes)
        elif self._jobs:
            try:
                yield from self._links.read(lambda link: self._read(link, [one.KIND for one in classes]))
            except CentralFault as fault:
                raise JournalFault(fault.sentence) from fault

    def _read(self, link: CentralLink, kinds: list[str]) -> list[tuple[str, Entry]]:
        cards = self._shown.cards
        asked = {
            "mine": link.one("SELECT shop.my_workshop()")[0],  # type: ignore[index]
            "months": sorted({cards[job].month for job in self._jobs}),
            "names": self._jobs,
            "kinds": kinds,
        }
        rows = link.ask(_ENTRIES, asked)
        said = {(job, seq, key): json.loads(value) for job, seq, key, value in link.ask(_SAID, asked)}
        found = []
        for job, seq, at_ms, kind, version, cause, text in rows:
            data = json.loads(text)
            for key in [key for key, value in data.items() if isinstance(value, dict) and SEALED in value]:
                data[key] = said.get((job, seq, key), GONE)
            found.append((job, Entry(seq, at_ms, kind, data, "", "", version, cause)))
        return found
