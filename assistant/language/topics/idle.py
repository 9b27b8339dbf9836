"""What is said by a bay between jobs: lists to choose from, what was chosen, what is asked before a job begins."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple, Protocol

from assistant.language.values import StepAt


class RowSpoken(NamedTuple):
    """One row of a list, for the ear: a procedure, a job that can be gone on with, or a name.

    ``stands`` is a code: "procedure", "draft" (a procedure that nobody approved), "faulty", "open", "paused", "name".
    ``bay`` is the other bay that has the job, as it is called in the names of jobs.
    """

    number: int
    title: str
    stands: str
    step: StepAt | None = None
    bay: str = ""


class Idle(Protocol):
    """A bay between jobs. It says nothing by itself: each sentence answers something."""

    def rows(self, what: str, total: int, rows: Sequence[RowSpoken], word: str = "") -> str:
        """Read the first ``rows`` of a list of ``total``; ``what``: "jobs", "procedures", "names" or "found".

        ``word`` is what was searched for.
        """

    def row(self, row: RowSpoken) -> str:
        """Name a row that is chosen now, and what may be said of it."""

    def at_place(self, step: StepAt | None) -> str:
        """Say inside a sentence at which step a job stands; "" where it is at none."""

    def no_row(self, number: int, total: int) -> str:
        """Say that there is no row with this ``number`` among ``total``; 0 is what lies behind the last one."""

    def nothing_there(self, what: str, word: str = "") -> str:
        """Say that a list is empty, or that nothing was found for ``word``."""

    def choose_first(self) -> str:
        """Say that something must be chosen first."""

    def ask_start(self, title: str, operator: str) -> str:
        """Ask whether a job for the procedure with this ``title`` is to begin; ``operator`` is "" for nobody."""

    def ask_resume(self, title: str, operator: str) -> str:
        """Ask whether a job is to be gone on with."""

    def now_starting(self, title: str, operator: str) -> str:
        """Say that a job begins."""

    def now_resuming(self, title: str, operator: str) -> str:
        """Say that a job is gone on with."""

    def operator_now(self, name: str) -> str:
        """Say who works from now on."""

    def ask_operator(self, name: str) -> str:
        """Ask whether this was the ``name``, since another one sounds like it."""

    def no_name(self) -> str:
        """Say that no names are known, and where to put them."""

    def dropped(self) -> str:
        """Say that what was asked is dropped."""

    def cannot(self, why: str, title: str) -> str:
        """Say why a job does not begin or go on, a code, and what to do next."""

    def job_ended(self, how: str, title: str) -> str:
        """Say how a job ended: "closed" (its record is on the page), "broken" or "lost"."""

    def label_is(self, *, printed: bool) -> str:
        """Say that the label is printed, or that it is not, and the screen tells why."""

    def may_say(self, where: str) -> str:
        """Say what may be said: "begin", "list", "job", "procedure" or "name" (one is chosen) or "asked"."""

    def words_in(self, text: str) -> list[str]:
        """Return the words by which a title or a machine can be searched, and what one of several is called.

        They are lower case, as a recogniser spells them.
        """
