"""What stands before personal data may be removed from a job, the same for every store."""

from __future__ import annotations

from collections.abc import Sequence

from assistant.facts.going import Closed
from assistant.journal.port import Entry, JournalFault


def refuse_unless_closed(job: str, entries: Sequence[Entry]) -> None:
    """Return when the job with ``entries`` is closed.

    Raises:
        JournalFault: it is not; nobody could go on with it afterwards.
    """
    if all(entry.kind != Closed.KIND for entry in entries):
        raise JournalFault(
            f"Job {job} is not closed, and it could not be gone on with afterwards; close it first, with: "
            f"assistant resume {job}"
        )
