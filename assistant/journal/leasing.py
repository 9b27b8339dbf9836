"""The rules of a lease, by which one job has one writer, on whatever machine: pure, and the same for every store.

1. Who takes a job notes in the store who he is and until when: LEASE_MS from then, on the clock of the job.
2. Each answer that is kept renews that when half of it is over; in a silence, ``renew`` does.
3. A lease belongs to its holder until it is let go or another takes it. While the store knows that the holder is alive,
   nobody can; when it knows that he is gone, everybody can at once; when it cannot know, because he is on another
   machine, everybody can after its time is over.
4. Who comes back to a lease that another has taken is told so before anything is written. One that is free again is
   his, but an answer is only kept behind the entry that he saw last.
"""

from __future__ import annotations

import secrets
from dataclasses import replace
from datetime import datetime

from assistant.journal.port import JobBusy, Lease

_FOR_EVER_MS = 9_999_999_999_999
"""The end of a lease that is not over by itself [ms since the epoch]: in 2286."""
LEASE_MS = 120_000
"""For how long a lease is good [ms]: what a second machine waits for when the first has lost its power."""


def new_lease(bay: str, host: str, pid: int, now_ms: int) -> Lease:
    """Return a lease that begins at ``now_ms`` [ms since the epoch]."""
    return Lease(secrets.token_hex(8), bay, host, pid, now_ms + LEASE_MS)


def renewed(lease: Lease, now_ms: int) -> Lease:
    """Return ``lease`` as it is when it is renewed at ``now_ms`` [ms since the epoch]; it never gets shorter."""
    return replace(lease, until_ms=max(lease.until_ms, now_ms + LEASE_MS))


def is_due(lease: Lease, now_ms: int) -> bool:
    """Return whether half of ``lease`` is over at ``now_ms`` [ms since the epoch]."""
    return lease.until_ms - now_ms < LEASE_MS // 2


def refuse_unless_free(job: str, there: Lease | None, mine: Lease, now_ms: int, *, alive: bool | None) -> None:
    """Return when ``mine`` may stand in the place of ``there``.

    ``alive`` is what the store knows of a holder of ``there`` that is on this machine; None when it cannot know.

    Raises:
        JobBusy: it may not; the sentence says who has the job, and until when.
    """
    if there is None or there.token == mine.token:
        return
    if is_moved(there):
        raise moved(job, there.bay)
    known = alive if there.host == mine.host else None
    if known:
        raise busy_here(job)
    if known is None and there.until_ms > now_ms:
        until = datetime.fromtimestamp(there.until_ms / 1000).astimezone().strftime("%H:%M:%S")
        raise JobBusy(
            f"Job {job} is being worked on in the bay {there.bay}, by process {there.pid} on the machine {there.host}, "
            f"and is kept for it until {until}. End it there; or wait until then, if that machine is gone."
        )


def moved_to(bay: str, host: str) -> Lease:
    """Return the lease that stands in a bay's journal for a job that went to ``bay``: nothing is added to it here."""
    return Lease(secrets.token_hex(8), bay, host, 0, _FOR_EVER_MS)


def is_moved(lease: Lease | None) -> bool:
    """Return whether the job with ``lease`` went to another bay."""
    return lease is not None and lease.until_ms >= _FOR_EVER_MS


def moved(job: str, bay: str) -> JobBusy:
    """Return the fault of a job that went to ``bay``."""
    return JobBusy(
        f"Job {job} has moved to the bay {bay}, and is gone on with there. Pause it there to bring it back, with: "
        f"assistant resume {job}"
    )


def busy_here(job: str) -> JobBusy:
    """Return the fault of a job that somebody holds on this machine."""
    return JobBusy(
        f"Job {job} is being worked on by another process of the assistant on this machine; end that one first."
    )


def behind(job: str) -> JobBusy:
    """Return the fault of an answer that would stand behind an entry that its writer has not seen."""
    return JobBusy(
        f"Another process wrote into job {job} since it was read here, so the last thing was not kept. "
        "End that process, then say it again."
    )


def let_go(job: str) -> ValueError:
    """Return the fault of a program that goes on with a job that it has let go."""
    return ValueError(f"job {job} was let go; hold it again")
