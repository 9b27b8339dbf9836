"""Names of jobs: bay, day and a running number, as ``bay1-2026-11-26-3``; and what a person may say for one."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from datetime import datetime

from assistant.journal.port import UnknownJob

BAY = "bay1"
"""The bay of a journal that was given none."""
MOST_LETTERS = 20
JOB_NAME = r"[a-z0-9-]{1,20}-\d{4}-\d\d-\d\d-\d+"
"""What a name of a job looks like, as a regular expression."""
_GOOD = re.compile(r"[a-z0-9]+(?:-[a-z0-9]+)*", re.ASCII)
_AFTER_BAY = re.compile(r"[a-z0-9-]+?-(?=\d{4}-\d\d-\d\d-\d+$)", re.ASCII)


def bay_fault(bay: str) -> str:
    """Return what is wrong with ``bay`` as the name of a bay, for the end of a sentence; "" when it is good."""
    if len(bay) <= MOST_LETTERS and _GOOD.fullmatch(bay):
        return ""
    return f"give 1 to {MOST_LETTERS} small letters, digits and single hyphens between them, as in {BAY} or north-2"


def bay_of(job: str) -> str:
    """Return the bay in the name of a job, where it was opened; "" where there is none in it.

    >>> bay_of("north-2-2026-11-26-3")
    'north-2'
    """
    found = _AFTER_BAY.match(job)
    return found[0].removesuffix("-") if found else ""


def day_of(now_ms: int) -> str:
    """Return the local day (``YYYY-MM-DD``) of ``now_ms``, in milliseconds since the epoch."""
    return datetime.fromtimestamp(now_ms / 1000).astimezone().date().isoformat()


def next_name(bay: str, day: str, taken: Iterable[str]) -> str:
    """Return a name for a new job: the bay, the day (``YYYY-MM-DD``) and a running number."""
    before = f"{bay}-{day}-"
    ends = [name.removeprefix(before) for name in taken if name.startswith(before)]
    return f"{before}{max((int(end) for end in ends if end.isdecimal()), default=0) + 1}"


def pick(name: str, newest_first: Sequence[str]) -> str:
    """Return the job that ``name`` means: itself, ``last``, or the only one that fits.

    A job fits by its end (``3``, ``26-3``), by its beginning (``bay1-2026``), or by its day without the bay.

    Raises:
        UnknownJob: none does, or several do.
    """
    if name in newest_first:
        return name
    if not newest_first:
        raise UnknownJob("There is no job in the journal yet; start one with: assistant run PROCEDURE")
    if name == "last":
        return newest_first[0]
    end = f"-{name.lstrip('-')}"
    near = [job for job in newest_first if job.endswith(end)] or [
        job for job in newest_first if job.startswith(name) or _AFTER_BAY.sub("", job, count=1).startswith(name)
    ]
    if len(near) == 1:
        return near[0]
    if near:
        raise UnknownJob(f'"{name}" fits several jobs ({", ".join(near[:4])}); give the whole name.')
    raise UnknownJob(f'There is no job "{name}"; see the names with: assistant jobs')
