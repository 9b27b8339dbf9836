"""The session of a job, built again from its entries: no rule of today is asked about what happened."""

from __future__ import annotations

from collections.abc import Sequence

from assistant.events import Thresholds
from assistant.facts import Unreadable
from assistant.journal.port import Entry, JournalFault, opened_of
from assistant.language.chosen import LANGUAGE
from assistant.procedure.format.reader import read_kept
from assistant.report.meters import clock_of
from assistant.session.evolving.table import fold
from assistant.session.session import Session


def rebuild_session(entries: Sequence[Entry], limits: Thresholds) -> Session:
    """Return the session that ``entries`` lead to.

    Raises:
        JournalFault: the procedure, or an entry, cannot be read by this version.
    """
    opened = opened_of(entries[0])
    reading = read_kept(opened.procedure_yaml.encode(), opened.procedure_file)
    if reading.procedure is None:
        raise JournalFault(
            f"The procedure of this job is no longer accepted ({reading.findings[0].text}); nothing is lost: read the "
            "job with assistant show, or use the version that wrote it."
        )
    for entry in entries:
        if isinstance(entry.fact, Unreadable):
            raise JournalFault(
                f"Entry {entry.seq} of this job cannot be taken up by this version ({entry.fact.why}). "
                "Nothing is lost: read it with assistant show, or use the version that wrote it."
            )
    state = fold(entry.fact for entry in entries)
    session = Session(reading.procedure, language=LANGUAGE, limits=limits, state=state, clock_min=clock_of)
    if strangers := session.strangers:
        raise JournalFault(
            "This version reads the procedure of this job otherwise than the one that wrote it: "
            f'"{strangers[0]}" is not in it. '
            "Nothing is lost: read the job with assistant show, or use the version that wrote it."
        )
    return session
