"""Lets a job leave the journal of a bay, and takes one in that comes from another, with all its entries as they are."""

from __future__ import annotations

from pathlib import Path

from assistant.journal.chain import Head, check_chain
from assistant.journal.copies import Piece
from assistant.journal.leasing import is_moved, moved_to
from assistant.journal.opening import journal_path
from assistant.journal.port import Damaged, JobState
from assistant.journal.sqlite import rows
from assistant.journal.sqlite.database import Database
from assistant.journal.sqlite.forgetting import leaving_nothing
from assistant.journal.sqlite.lock import is_running
from assistant.journal.summary import STATES


class MovingJobs:
    """Moves jobs in and out of the journal in a data folder; it serves the thread that made it."""

    def __init__(self, folder: Path) -> None:
        """Open the journal in ``folder``; it is made when it is not there.

        Raises:
            JournalFault: it cannot be opened.
        """
        self._db = Database(journal_path(folder).resolve(), read_only=False)

    def leaves(self, job: str, bay: str, host: str, *, only_idle: bool = False) -> bool:
        """Note that ``job`` went to ``bay`` on the machine ``host``: who holds it here is told with the next answer.

        With ``only_idle``, a job that somebody works on stays, unless it is paused; return whether it left.

        Raises:
            JournalFault: it cannot be noted.
        """
        with self._db.transaction() as db:
            there = rows.lease_of(db, job)
            is_idle = there is None or not is_running(there.pid) or STATES.get(rows.turn_of(db, job)) is JobState.PAUSED
            if only_idle and not is_idle:
                return False
            rows.note_lease(db, job, moved_to(bay, host))
        return True

    def is_away(self, job: str) -> bool:
        """Return whether ``job`` went to another bay."""
        with self._db.explained() as db:
            return is_moved(rows.lease_of(db, job))

    def end(self, job: str) -> Head:
        """Return where ``job`` ends here; an empty chain when it is not here."""
        with self._db.explained() as db:
            return rows.end_of(db, job) if rows.has_job(db, job) else Head()

    def names(self) -> list[str]:
        """Return the names of the jobs that are here, newest first."""
        with self._db.explained() as db:
            return rows.job_names(db)

    def comes(self, job: str, bay: str, piece: Piece) -> None:
        """Take in the entries of ``job``, which was opened in ``bay``, behind those that are here; it is free then.

        Raises:
            Damaged: they do not fit, or the end that is here is not where they begin.
            JournalFault: they cannot be kept; none of them was.
        """
        with self._db.transaction() as db:
            here = rows.has_job(db, job)
            head = rows.end_of(db, job) if here else Head()
            verdict = check_chain(job, piece.rows, head if here or piece.rows else None).verdict
            if not verdict.good:
                raise Damaged(verdict.sentence)
            if not here:
                rows.add_job(db, job, bay)
            if piece.rows:
                rows.insert(db, job, piece.rows, piece.said)
            if any(row.kind == "forgotten" for row in piece.rows):
                db.execute("DELETE FROM personal WHERE job = ?", (job,))
            there = rows.lease_of(db, job)
            if there is not None:
                rows.drop_lease(db, job, there.token)

    def forgets(self, job: str, bay: str, piece: Piece) -> None:
        """Take in the rest of ``job``, which was forgotten elsewhere, and remove what people said from the file itself.

        Raises:
            Damaged: the entries do not fit.
            JournalFault: it cannot be done now; nothing was removed then.
        """
        with leaving_nothing(self._db) as db:
            self.comes(job, bay, piece)
            db.execute("VACUUM")

    def close(self) -> None:
        """Free the file."""
        self._db.close()
