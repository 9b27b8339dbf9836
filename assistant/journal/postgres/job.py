"""One job in the central store, held for writing: every answer is one transaction there."""

from __future__ import annotations

import contextlib
from collections.abc import Iterator, Sequence

from assistant.central.place import CentralFault
from assistant.facts import Fact
from assistant.journal.chain import Head, as_entry, link
from assistant.journal.forms import forms
from assistant.journal.leasing import behind, is_due, let_go, refuse_unless_free, renewed
from assistant.journal.personal import seal, unsealed
from assistant.journal.port import Damaged, Entry, JournalFault, Lease
from assistant.journal.postgres.rows import CentralRows
from assistant.journal.reading import judged
from assistant.journal.sqlite.lock import is_running


@contextlib.contextmanager
def explained() -> Iterator[None]:
    """Say what the central store cannot do as a fault of the journal."""
    try:
        yield
    except CentralFault as fault:
        raise JournalFault(fault.sentence) from fault


class PostgresJob:
    """One job, held by its lease in the store: there is no lock beneath it, for its bays are on several machines."""

    def __init__(self, rows: CentralRows, name: str, bay: str, mine: Lease) -> None:
        self.id = name
        self._rows, self._bay = rows, bay
        self._mine: Lease | None = mine
        self._end: Head | None = None

    def append(self, facts: Sequence[Fact], now_ms: int) -> list[Entry]:
        """Keep all ``facts`` in one transaction; when this returns they are on the store's disk."""
        if not facts:
            return []
        with explained(), self._rows.link.transaction():
            self._keep(self._held(), now_ms)
            head = self._rows.end_of(self.id)
            if head != self._end:
                raise behind(self.id)
            sealed, kept = seal(forms(facts, head.seq + 1), head.seq + 1)
            new = link(self.id, head, sealed, now_ms)
            _, why, _ = self._rows.receive(self.id, self._bay, new, kept)
            if why:
                raise behind(self.id)
        self._end = Head(new[-1].seq, new[-1].hash)
        return unsealed([as_entry(stored) for stored in new], kept)[0]

    def entries(self) -> list[Entry]:
        """Return all entries, in order."""
        with explained():
            found = judged(self.id, self._rows.kept_of(self.id))
        if not found.verdict.good:
            raise Damaged(found.verdict.sentence)
        self._end = Head(found.verdict.entries, found.verdict.head)
        return found.entries

    def renew(self, now_ms: int) -> None:
        """Keep the lease through a silence."""
        if is_due(self._held(), now_ms):
            self.take(now_ms)

    def take(self, now_ms: int) -> None:
        """Note in the store that the job is held here."""
        with explained(), self._rows.link.transaction():
            self._keep(self._held(), now_ms)

    def close(self) -> None:
        """Let the job go."""
        mine, self._mine = self._mine, None
        if mine is not None:
            with contextlib.suppress(CentralFault):  # a note that stays runs out
                self._rows.drop_lease(self.id, mine.token)

    def _held(self) -> Lease:
        if self._mine is None:
            raise let_go(self.id)
        return self._mine

    def _keep(self, mine: Lease, now_ms: int) -> None:
        there = self._rows.lease_of(self.id)
        refuse_unless_free(self.id, there, mine, now_ms, alive=there is not None and is_running(there.pid))
        if there is None or there.token != mine.token or is_due(there, now_ms):
            new = renewed(mine, now_ms)
            if not self._rows.swap_lease(self.id, there, new):
                raise behind(self.id)
            self._mine = new
