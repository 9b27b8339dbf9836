"""What differs between two procedure files, or between a job's own copy and a file, printed step by step."""

from __future__ import annotations

from dataclasses import asdict
from pathlib import Path

from assistant.bay.refusing import guarded
from assistant.journal.opening import journal_is_there, open_journal
from assistant.journal.port import UnknownJob, opened_of
from assistant.kept.file_changes import kept_procedure
from assistant.procedure.difference import differences
from assistant.procedure.format.reader import Reading, read_procedure
from assistant.settings import home
from assistant.terminal.exits import Exit, Refusal
from assistant.terminal.tables import print_json
from assistant.workshop.library_copy import procedure_named


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
    path = procedure_named(Path(name))
    if not path.exists() and (kept := _copy_of_job(name)) is not None:
        return kept
    reading = read_procedure(path)
    if reading.procedure is None:
        raise Refusal("\n".join(str(finding) for finding in reading.errors), Exit.PROCEDURE)
    return reading


def _copy_of_job(name: str) -> Reading | None:
    if not journal_is_there(home()):
        return None
    try:
        with open_journal(home(), read_only=True) as journal:
            return kept_procedure(opened_of(journal.first(name)))
    except UnknownJob:
        return None
