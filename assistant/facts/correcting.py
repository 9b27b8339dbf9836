"""Words that were taken down and read back, and that somebody says again: the old ones stay where they are stored."""

from __future__ import annotations

from typing import Annotated

from assistant.facts.asking import Dictated
from assistant.facts.base import PERSONAL, Fact


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
