"""Words that were taken down and read back, and that somebody says again: the old ones stay where they are stored."""

from __future__ import annotations

from typing import Annotated

from assistant.facts.asking import Dictated
from assistant.facts.base import PERSONAL, Fact
from assistant.facts.extra import Severity


class CorrectionBegun(Fact, frozen=True, kw_only=True):
    """The next words, from ``at_ms`` on, replace those of a note, or of the finding that is taken down.

    ``note`` is the number of the note or problem among all of the job, from one, or of a finding that was confirmed
    among all extra work; 0 where the finding is not yet confirmed. A confirmed one counts until it is confirmed anew.
    """

    KIND = "correction_begun"
    what: Dictated
    note: int = 0
    at_ms: int = 0


class NoteCorrected(Fact, frozen=True, kw_only=True):
    """The note or problem with this number counts in other words; not ``complete`` when some of them did not fit."""

    KIND = "note_corrected"
    note: int
    text: Annotated[str, PERSONAL]
    complete: bool = True


class NoteAsBefore(Fact, frozen=True, kw_only=True):
    """A correction was taken back: the note counts as it was before, in these words; ``corrected`` once already."""

    KIND = "note_as_before"
    note: int
    text: Annotated[str, PERSONAL]
    corrected: bool = False


class FindingCorrected(Fact, frozen=True, kw_only=True):
    """A finding that was confirmed counts in other words, which were confirmed as the first ones; it keeps its number.

    How bad it is, and at which ``step``, was said anew; not ``complete`` when some words did not fit.
    """

    KIND = "finding_corrected"
    work: str
    number: int
    text: Annotated[str, PERSONAL]
    step: str | None
    severity: Severity
    complete: bool = True


class FindingAsBefore(Fact, frozen=True, kw_only=True):
    """A correction was taken back: the finding counts as it was before it; ``corrected`` once already."""

    KIND = "finding_as_before"
    work: str
    number: int
    text: Annotated[str, PERSONAL]
    step: str | None
    severity: Severity
    complete: bool = True
    corrected: bool = False
