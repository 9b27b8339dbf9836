"""Whether the file of a job was changed after the job began, and what the mechanic says to it."""

from __future__ import annotations

import sys
from dataclasses import dataclass
from pathlib import Path

from assistant.facts.inputs import Opened
from assistant.journal.opening import open_journal
from assistant.journal.port import opened_of
from assistant.language.chosen import LANGUAGE
from assistant.procedure.difference import Difference, counted_differences, differences
from assistant.procedure.format.reader import Reading, read_kept, read_procedure
from assistant.settings import home


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
        steps, others = counted_differences(self.found)
        return LANGUAGE.equipment.file_changed(steps, others, faulty=bool(self.fault))


def kept_procedure(opened: Opened) -> Reading:
    """Return the job's own copy of its procedure; ``opened`` is the first entry of the job."""
    return read_kept(opened.procedure_yaml.encode(), opened.procedure_file)


def changes_since(opened: Opened) -> FileChanges | None:
    """Return what became of the file of a job; ``opened`` is the job's first entry. None when it says the same still.

    None, too, when the file is gone: the job has its own copy, and there is nothing to compare it with.
    """
    path = Path(opened.procedure_path)
    own = kept_procedure(opened).procedure
    if own is None or not path.is_absolute() or not path.is_file():
        return None
    reading = read_procedure(path)
    if reading.data == opened.procedure_yaml.encode():
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
    with open_journal(home(), read_only=True) as journal:
        return changes_since(opened_of(journal.first(name)))


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
