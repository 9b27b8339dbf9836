"""What differs between two procedure files, or between a job's own copy and a file, printed step by step."""

from __future__ import annotations

import sys
from collections.abc import Mapping
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

from assistant.bay.exits import Exit
from assistant.bay.job import Refusal, guarded, journal_is_there, journal_path
from assistant.bay.tables import print_json
from assistant.journal.port import UnknownJob
from assistant.journal.sqlite import SqliteJournal
from assistant.procedure.difference import Difference, counted, differences
from assistant.procedure.reader import Reading, read_kept, read_procedure
from assistant.shipped import procedure_at


@dataclass(frozen=True, slots=True)
class FileChanges:
    """That the file of a job was changed after the job began: what differs, or why the file cannot be compared."""

    path: Path
    found: tuple[Difference, ...]
    fault: str = ""

    @property
    def text(self) -> str:
        """Return it for the screen."""
        head = f"{self.path} was changed after this job began; the job has its own copy."
        return "\n".join([head, *([self.fault] if self.fault else map(str, self.found))])

    @property
    def spoken(self) -> str:
        """Return it for the ear."""
        what = "It has errors now" if self.fault else counted(self.found).capitalize()
        return f"The procedure file was changed after this job began. {what}. This job goes on with its own copy."


def print_differences(old: str, new: str, *, as_json: bool = False) -> Exit:
    """Print what differs from ``old`` to ``new``; each is a procedure file or the name of a job.

    The exit code says whether anything does, as that of diff(1) does.
    """

    def work() -> Exit:
        found = differences(_usable(old).usable, _usable(new).usable)
        if as_json:
            print_json([asdict(difference) for difference in found])
        else:
            for difference in found:
                print(difference)
            same = "Nothing differs in what the procedures say."
            print(f"{len(found)} differences." if len(found) > 1 else "1 difference." if found else same)
        return Exit.DIFFERENT if found else Exit.OK

    return guarded(work)


def _usable(name: str) -> Reading:
    """Return the procedure of a file, or the own copy of a job when there is no such file.

    Raises:
        Refusal: it has errors, or there is neither a file nor a job of that name.
    """
    path = procedure_at(Path(name))
    if not path.exists() and (kept := _copy_of_job(name)) is not None:
        return kept
    reading = read_procedure(path)
    if reading.procedure is None:
        raise Refusal("\n".join(str(finding) for finding in reading.errors), Exit.PROCEDURE)
    return reading


def _copy_of_job(name: str) -> Reading | None:
    if not journal_is_there():
        return None
    journal = SqliteJournal(journal_path(), read_only=True)
    try:
        return _kept(journal.first(name).data)
    except UnknownJob:
        return None
    finally:
        journal.close()


def _kept(opened: Mapping[str, Any]) -> Reading:
    return read_kept(str(opened["procedure_yaml"]).encode(), str(opened["procedure_file"]))


def changes_since(opened: Mapping[str, Any]) -> FileChanges | None:
    """Return what became of the file of a job; ``opened`` is the job's first entry. None when it says the same still.

    None, too, when the file is gone: the job has its own copy, and there is nothing to compare it with.
    """
    path = Path(str(opened.get("procedure_path", "")))
    own = _kept(opened).procedure
    if own is None or not path.is_absolute() or not path.is_file():
        return None
    reading = read_procedure(path)
    if reading.data == str(opened["procedure_yaml"]).encode():
        return None
    if reading.procedure is None:
        return FileChanges(path, (), f"It cannot be used now: {reading.errors[0]}")
    found = differences(own, reading.procedure)
    return FileChanges(path, found) if found else None


def changes_of_job(name: str) -> FileChanges | None:
    """Return what became of the file of the job ``name`` since it began.

    Raises:
        JournalFault: there is no such job, or it is damaged.
    """
    journal = SqliteJournal(journal_path(), read_only=True)
    try:
        return changes_since(journal.first(name).data)
    finally:
        journal.close()


def goes_on(changes: FileChanges) -> bool:
    """Show what differs and let the mechanic decide whether the job goes on with its own copy.

    Where nobody sits at a terminal the job goes on, which is what an empty answer means too.
    """
    print(changes.text, flush=True)
    if not sys.stdin.isatty():
        return True
    try:
        answer = input("Go on with the job's own copy? Enter goes on; n stops here, and the job is kept: ")
    except EOFError:
        return False
    return not answer.strip().lower().startswith("n")
