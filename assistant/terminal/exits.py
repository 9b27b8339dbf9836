"""Exit codes of the command line, for scripts and for the docs."""

from __future__ import annotations

from enum import IntEnum
from typing import TypeVar

from assistant.faults import Fault

_T = TypeVar("_T")


class Exit(IntEnum):
    """How a command ended."""

    OK = 0
    """The job is closed, or the list was printed."""
    BROKEN = 1
    """The program itself failed; please report it."""
    USAGE = 2
    """The command line makes no sense."""
    OPEN = 3
    """The job is kept and still open: resume it."""
    PROCEDURE = 4
    """The procedure file, the recording or the typed talk cannot be used."""
    DEVICE = 5
    """A microphone, a loudspeaker, a synthesiser or a recogniser is missing or busy."""
    JOURNAL = 6
    """The journal cannot be read or written, or the job is unknown."""
    BUSY = 7
    """Another process works on this job."""
    OUTPUT = 8
    """A file that was asked for cannot be written, or would replace another one."""
    WARNINGS = 9
    """The procedures that were checked can be used, and there are warnings."""
    DISPLAY = 10
    """The display cannot be served where it was asked for."""
    DIFFERENT = 11
    """What was compared is not the same: two procedures, a record and its job, or a job and its chain."""
    CENTRAL = 12
    """The workshop's central store cannot be reached, or refuses what was asked."""
    INTERRUPTED = 130
    """Stopped by Control-C; the job is kept and still open."""


MEANINGS: dict[Exit, str] = {
    Exit.OK: "the job is closed, or the list was printed",
    Exit.BROKEN: "the program itself failed",
    Exit.USAGE: "the command line makes no sense",
    Exit.OPEN: "the job is kept and still open: resume it",
    Exit.PROCEDURE: "the procedure file, the recording or the typed talk cannot be used",
    Exit.DEVICE: "a microphone, loudspeaker, synthesiser or recogniser is missing or busy",
    Exit.JOURNAL: "the journal cannot be read or written, or the job is unknown",
    Exit.BUSY: "another process works on this job",
    Exit.OUTPUT: "a file cannot be written, or is there already",
    Exit.WARNINGS: "the procedures can be used, and have warnings",
    Exit.DISPLAY: "the display cannot be served there",
    Exit.DIFFERENT: "what was compared differs: two procedures, a record and its job, a job and its chain",
    Exit.CENTRAL: "the workshop's central store cannot be reached, or refuses that",
    Exit.INTERRUPTED: "stopped by Control-C; the job is kept and still open",
}
"""One clause for each code, printed by ``assistant --help`` and checked against the docs."""


class Refusal(Exception):
    """Why a command cannot go on: one ``sentence`` (or several findings) for the person, and the exit ``code``.

    No frozen dataclass: a context manager sets the traceback of what is raised in it, which such a class refuses.
    """

    def __init__(self, sentence: str, code: Exit) -> None:
        super().__init__(sentence)
        self.sentence = sentence
        self.code = code


def or_refuse(value: _T | Fault) -> _T:
    """Return ``value``, which a person typed, or end the command.

    Raises:
        Refusal: it is a fault, whose sentence this has.
    """
    if isinstance(value, Fault):
        raise Refusal(f"{value.sentence}.", Exit.USAGE)
    return value
