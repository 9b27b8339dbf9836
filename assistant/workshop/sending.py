"""Carries the entries of a bay to the central store, in order: nothing is sent by halves, and nothing waits for it.

The journal of the bay stays the truth. Where the store ends is asked of the store itself on each new link, so that a
loss of power on either side leaves nothing to be remembered; what was sent twice is there once.
"""

from __future__ import annotations

import contextlib
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from pathlib import Path

from assistant.central.link import CentralLink
from assistant.central.place import CentralFault, CentralPlace
from assistant.journal.chain import Head
from assistant.journal.copies import CentralJobs, Piece, StoredJobs
from assistant.workshop.holding import HeldJobs
from assistant.workshop.photos import PhotoCarrier, PhotoRound
from assistant.workshop.refused import reason_of
from assistant.workshop.taking_back import take_back_lost

MOST_ENTRIES_SENT, MOST_LETTERS_SENT = 200, 500_000
"""So many entries, or letters of theirs, are sent at once."""
LEASES_EVERY_S = 20.0
"""So often [s] the store is told which jobs this bay has."""
AGAIN_S = 600.0
"""After so long [s] what the store set aside is sent again: it may be of a newer version by now."""


def aside_sentence(job: str, seq: int, why: str) -> str:
    """Return what is told when the store set entry ``seq`` of ``job`` aside."""
    return (
        f"The central store set entry {seq} of job {job} and what follows aside: {reason_of(why)}. "
        "The bay goes on, and has all of it; the office sees it with assistant workshop aside."
    )


@dataclass(slots=True)
class Round:
    """What came of one round: entries that the store has now, and those that it does not have yet; and the photos."""

    sent: int = 0
    waiting: int = 0
    photos: PhotoRound = field(default_factory=PhotoRound)


@dataclass(slots=True)
class Sender:
    """Sends what the journal in ``folder`` has and the store at ``place`` has not; it serves one thread.

    ``tell`` gets a sentence for each job of which something was set aside, once.
    """

    folder: Path
    place: CentralPlace
    tell: Callable[[str], object] = lambda _sentence: None
    _link: CentralLink | None = None
    _jobs: StoredJobs | None = None
    _ends: dict[str, Head] = field(default_factory=dict)
    _aside: dict[str, tuple[str, int, float]] = field(default_factory=dict)
    _told: set[tuple[str, str, int]] = field(default_factory=set)
    _heads: Mapping[str, tuple[str, Head]] = field(default_factory=dict)
    _bay: str = ""
    _leases_at: float = float("-inf")
    _photos: PhotoCarrier | None = None

    def round(self, now: float, goes_on: Callable[[], bool] = lambda: True) -> Round:
        """Send all that is new; ``now`` is in seconds of a clock that never steps. Cheap when nothing is.

        ``goes_on`` is asked behind each piece, and ends the round when it is not true.

        Raises:
            CentralFault: the store cannot be reached, or refuses the login; the next round makes a new link.
            JournalFault: the journal of the bay cannot be read.
        """
        if self._jobs is None:
            self._jobs = StoredJobs(self.folder)
        fresh = self._link is None or not self._link.is_open
        is_new = self._jobs.changed() or fresh or self._is_due(now)
        came_to = Round()
        try:
            central = CentralJobs(self._linked(fresh))
            if fresh:
                self._begin(central)
            if is_new:
                self._heads = self._jobs.heads()
                if fresh:
                    self._take_back(central)
                    self._ends = dict(central.ends(list(self._heads)))
                for job, (bay, head) in self._heads.items():
                    if not goes_on():
                        break
                    self._send(central, job, bay, head, now, came_to, goes_on)
            if is_new or now >= self._leases_at + LEASES_EVERY_S or central.is_wanted():
                self._leases_at = now
                self._keep_leases(central)
            came_to.photos = self._carry_photos(now, goes_on)
        except CentralFault:
            self._unlink()
            raise
        return came_to

    @property
    def link(self) -> CentralLink | None:
        """The link that the last round used, for what else the same thread has to ask; None without one."""
        return self._link if self._link is not None and self._link.is_open else None

    def close(self) -> None:
        """End the link, and free the journal."""
        self._unlink()
        if self._jobs is not None:
            self._jobs.close()
            self._jobs = None

    def _carry_photos(self, now: float, goes_on: Callable[[], bool]) -> PhotoRound:
        assert self._jobs is not None
        assert self._link is not None
        if self._photos is None:
            self._photos = PhotoCarrier(self.folder, self.tell)
        self._photos.look(self._link, self._jobs, self._heads)
        return self._photos.carry(self._jobs, self._ends, now, goes_on)

    def _begin(self, central: CentralJobs) -> None:
        self._aside.clear()
        self._bay = central.bay()
        central.listen()

    def _take_back(self, central: CentralJobs) -> None:
        assert self._jobs is not None
        entries = take_back_lost(self.folder, self._jobs, central, self._heads)
        self._heads = self._jobs.heads()
        if entries:
            self.tell(f"{entries} entries that this bay had lost were taken back from the central store.")

    def _keep_leases(self, central: CentralJobs) -> None:
        """Say which open jobs this bay has, and let go what it has no more."""
        assert self._jobs is not None
        for job, token in HeldJobs(self.folder, self.tell).keep(central, self._jobs, self._heads, self._bay):
            self._give(central, job, token)

    def _give(self, central: CentralJobs, job: str, token: str) -> None:
        """Let ``job``, to which nothing is added here any more, go in the store as soon as that has all of it."""
        assert self._jobs is not None
        bay, head = self._jobs.heads().get(job, ("", Head()))
        self._send(central, job, bay, head, self._leases_at, Round(), lambda: True)
        if self._ends.get(job, Head()) == head:
            central.give(job, token)

    def _linked(self, fresh: bool) -> CentralLink:
        if fresh or self._link is None:
            self._unlink()
            self._link = CentralLink(self.place, program="step-assistant send")
        return self._link

    def _unlink(self) -> None:
        if self._link is not None:
            with contextlib.suppress(CentralFault):
                self._link.close()
            self._link = None

    def _is_due(self, now: float) -> bool:
        return any(now >= at + AGAIN_S for _, _, at in self._aside.values())

    def _send(
        self,
        central: CentralJobs,
        job: str,
        bay: str,
        head: Head,
        now: float,
        came_to: Round,
        goes_on: Callable[[], bool],
    ) -> None:
        assert self._jobs is not None
        if job in self._aside:
            if now < self._aside[job][2] + AGAIN_S:
                came_to.waiting += head.seq + 1 - self._aside[job][1]
                return
            del self._aside[job]
        end = self._ends.get(job, Head())
        # The last that the store has goes along: if the store has another one, it says so.
        while end != head and end.seq <= head.seq and goes_on():
            piece = self._piece(job, max(1, end.seq), end.seq + MOST_ENTRIES_SENT)
            ended, why, at_seq = self._received(central, job, bay, piece)
            came_to.sent += max(0, ended - end.seq)
            if why and why != "gap":
                self._note(job, why, at_seq, now)
                came_to.waiting += head.seq + 1 - at_seq
                self._ends[job] = Head(ended)
                return
            if ended <= end.seq and ended:
                came_to.waiting += head.seq - ended
                return  # the store has more of it than we knew, or less: asked anew on the next link
            last = next((row for row in piece.rows if row.seq == ended), None)
            end = self._ends[job] = Head(ended, last.hash) if last else Head(ended)
            if last is None and ended:
                return

    def _piece(self, job: str, least: int, most: int) -> Piece:
        assert self._jobs is not None
        rows, said = self._jobs.piece(job, least, most)
        letters = 0
        for place, row in enumerate(rows):
            letters += len(row.data)
            if letters > MOST_LETTERS_SENT and place > 1:
                rows = rows[:place]
                break
        last = rows[-1].seq if rows else 0
        return Piece(rows, [one for one in said if one.seq <= last])

    def _received(self, central: CentralJobs, job: str, bay: str, piece: Piece) -> tuple[int, str, int]:
        try:
            return central.send(job, bay, piece)
        except CentralFault as fault:
            if not (fault.unreadable or fault.refused):
                raise
            why = "unreadable" if fault.unreadable else "away"
            ends = central.ends([job]).get(job, Head())
            first = next(row for row in piece.rows if row.seq > ends.seq)
            central.set_aside(job, first, why)
            return ends.seq, why, first.seq

    def _note(self, job: str, why: str, at_seq: int, now: float) -> None:
        self._aside[job] = (why, at_seq, now)
        if (job, why, at_seq) not in self._told:
            self._told.add((job, why, at_seq))
            self.tell(aside_sentence(job, at_seq, why))
