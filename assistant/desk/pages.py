"""What the desk pages show: the journal's jobs and records, and the procedure files of one folder."""

from __future__ import annotations

import json
import time
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from assistant.desk.dry_run import dry_run
from assistant.desk.records import RecordPages
from assistant.display.desk import ProcedureRow, Said
from assistant.journal.opening import journal_is_there, open_journal
from assistant.journal.port import JobInfo
from assistant.procedure.findings import At, Findings, ReadingRule
from assistant.procedure.format.reader import Reading, read_procedure
from assistant.report.meters import local_day
from assistant.settings import Settings, home
from assistant.workshop.library_copy import bay_library

_MOST_FILES = 200


class BayDesk:
    """Answers from this bay's journal, its copy of the library, and ``procedures``, a folder. Reading only."""

    def __init__(self, procedures: Path) -> None:
        self._folder = procedures
        self._library = bay_library()
        self._read: dict[Path, tuple[tuple[int, int], Reading]] = {}
        self.records = RecordPages()

    def jobs(self) -> Sequence[JobInfo]:
        """Return all jobs, newest first."""
        if not journal_is_there(home()):
            return []
        with open_journal(home(), read_only=True) as journal:
            return list(journal.scan())

    def record(self, job: str, form: str = "html") -> bytes:
        """Return the record of ``job``, a whole document, or in the form "pdf".

        Raises:
            JournalFault: there is no such job, or nothing of it can be read.
            DeskBusy: it cannot be made now.
        """
        with open_journal(home(), read_only=True) as journal:
            name = journal.resolve(job)
            info = next(one for one in journal.scan() if one.id == name)
        return self.records.page(info, form)

    def listed(self, what: str, name: str = "") -> Any:
        """Return a list over all jobs, made anew where one of them went on or the day is another.

        Raises:
            JournalFault: it cannot be read.
            DeskBusy: it cannot be made now.
        """
        jobs = self.jobs()
        stamp = local_day(time.time()), len(jobs), sum(one.entries for one in jobs)
        busy = "That takes too long to show here; print it with: assistant due, or assistant history"
        return json.loads(self.records.made_of(what, name.replace("\0", ""), stamp, busy)) if jobs else []

    def close(self) -> None:
        """Give up what is being made."""
        self.records.close()

    def procedures(self) -> Sequence[ProcedureRow]:
        """Return the procedure files, by name; one that did not change is not read again."""
        return [self._row(path) for path in self.files()]

    def files(self) -> Sequence[Path]:
        """Return where the procedure files lie, by name: the newest of the library, and those of the folder.

        A file of the folder gives way to the library's where both have one id, or one name.
        """
        theirs = self._library.procedures()
        ids, names = {one.id for one in theirs}, {one.file for one in theirs}
        own = [path for path in self._folder.glob("*.y*ml") if path.name not in names and self._id(path) not in ids]
        return sorted([*map(self._library.path, theirs), *own], key=lambda path: path.name)[:_MOST_FILES]

    def _id(self, path: Path) -> str:
        procedure = self.reading(path).procedure
        return "" if procedure is None else procedure.id

    def _row(self, path: Path) -> ProcedureRow:
        reading = self.reading(path)
        procedure = reading.procedure
        title, revision = (procedure.title, procedure.revision) if procedure else ("", "")
        approved = procedure is not None and procedure.approved
        theirs = self._library.has(path)
        return ProcedureRow(path.name, title, revision, approved, reading.findings, reading.waived, library=theirs)

    def reading(self, path: Path) -> Reading:
        """Return what is read from a file; one that did not change is not read again, a damaged copy not at all."""
        damage = self._library.damage(path)
        if damage is not None:
            findings = Findings(str(path))
            findings.add(At(), ReadingRule.FILE, damage.reason, damage.advice)
            return Reading(None, findings.result())
        try:
            about = path.stat()
            stamp = about.st_mtime_ns, about.st_size
        except OSError:
            stamp = 0, 0
        known = self._read.get(path)
        if known is None or known[0] != stamp:
            known = self._read[path] = stamp, read_procedure(path)
        return known[1]

    def preview(self, name: str) -> Sequence[Said]:
        """Return what the assistant says in the procedure of the file ``name``, place by place."""
        path = next((one for one in self.files() if one.name == name), None)
        procedure = None if path is None else self.reading(path).procedure
        if procedure is None:
            return []
        stops = dry_run(procedure, lambda text, _stop: len(text.split()) * 60 / Settings().rate)
        return [Said(stop.chapter, stop.title, tuple(stop.turns)) for stop in stops]
